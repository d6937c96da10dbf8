"""Two people finish the same step at once, from two processes: one entry, and the other sees what happened."""

import json
import os
import subprocess
import sys
import time
from pathlib import Path

import pytest

from shop.launch.environment import ROOT
from tests.fixtures.servers import PostgresServer

HULLS = 12
WARM_S = 4.0


@pytest.fixture
def on_sqlite(tmp_path: Path) -> dict[str, str]:
    """The laptop's database."""
    return {"RIBBAND_VAR": str(tmp_path)}


@pytest.fixture
def on_postgres(tmp_path: Path, postgres_server: PostgresServer) -> dict[str, str]:
    """The database of several machines."""
    return {"RIBBAND_VAR": str(tmp_path), "RIBBAND_DATABASE_URL": postgres_server.new_database()}


def test_on_sqlite_one_of_two_finishes_and_the_other_is_told(on_sqlite: dict[str, str]) -> None:
    check_one_of_two_finishes(on_sqlite)


def test_on_postgres_one_of_two_finishes_and_the_other_is_told(on_postgres: dict[str, str]) -> None:
    check_one_of_two_finishes(on_postgres)


def check_one_of_two_finishes(settings: dict[str, str]) -> None:
    """Let two processes finish the same steps at the same moments; exactly one of them does, the other names it."""
    env = {**os.environ, "DJANGO_SETTINGS_MODULE": "shop.settings", **settings}
    run([sys.executable, "manage.py", "migrate", "-v0"], env)
    run([sys.executable, "-m", "tests.system.hands", "prepare", str(HULLS)], env)
    at = str(time.time() + WARM_S)
    ada, ben = (
        subprocess.Popen(
            [sys.executable, "-m", "tests.system.hands", "finish", name, at, str(HULLS)],
            cwd=ROOT,
            env=env,
            stdout=subprocess.PIPE,
            stderr=subprocess.PIPE,
            text=True,
        )
        for name in ("ada", "ben")
    )
    told = {name: said(process) for name, process in (("ada", ada), ("ben", ben))}
    for of_ada, of_ben in zip(told["ada"], told["ben"], strict=True):
        assert of_ada["done"] is not of_ben["done"]
        assert of_ada["by"] == (None if of_ada["done"] else "ben")
        assert of_ben["by"] == (None if of_ben["done"] else "ada")
    count = "from stages.models import Entry; print(Entry.objects.filter(kind='finished').count())"
    assert run([sys.executable, "manage.py", "shell", "-v0", "-c", count], env).strip() == str(HULLS)
    assert "the tables equal the log" in run([sys.executable, "manage.py", "audit"], env)


def run(command: list[str], env: dict[str, str]) -> str:
    """Run a command to its end and return what it printed."""
    done = subprocess.run(command, cwd=ROOT, env=env, capture_output=True, text=True)
    assert done.returncode == 0, done.stderr
    return done.stdout


def said(process: subprocess.Popen[str]) -> list[dict[str, object]]:
    """Wait for a process and read what it told of each hull."""
    out, err = process.communicate(timeout=120)
    assert process.returncode == 0, err
    told: list[dict[str, object]] = json.loads(out)
    return told
