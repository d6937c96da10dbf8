"""Two processes post the same readings at once, while a third keeps the air: each reading is there once."""

import json
import os
import subprocess
import sys
import time
from pathlib import Path

import pytest

from shop.launch.environment import ROOT
from tests.fixtures.servers import PostgresServer
from tests.system.senders import BATCHES, EACH

WARM_S = 6.0
WATCH_S = 12.0
MOMENTS = (BATCHES - 1) * EACH // 2 + EACH
COUNT = (
    "from shop.models import *; readings = Reading.objects;"
    "print(readings.count(), RainFall.objects.count(), readings.values('sensor', 'at').distinct().count(),"
    " Pulse.now().air_turn)"
)


@pytest.fixture
def on_sqlite(tmp_path: Path) -> dict[str, str]:
    """The laptop's database."""
    return {"RIBBAND_VAR": str(tmp_path)}


@pytest.fixture
def on_postgres(tmp_path: Path, postgres_server: PostgresServer) -> dict[str, str]:
    """The database of several machines."""
    return {"RIBBAND_VAR": str(tmp_path), "RIBBAND_DATABASE_URL": postgres_server.new_database()}


def test_on_sqlite_each_reading_is_there_once(on_sqlite: dict[str, str]) -> None:
    check_each_is_there_once(on_sqlite)


def test_on_postgres_each_reading_is_there_once(on_postgres: dict[str, str]) -> None:
    check_each_is_there_once(on_postgres)


def check_each_is_there_once(settings: dict[str, str]) -> None:
    """Let two processes send the same, and a third one read on; nothing is lost, doubled, refused, or unseen."""
    env = {**os.environ, "DJANGO_SETTINGS_MODULE": "shop.settings", **settings}
    run([sys.executable, "manage.py", "migrate", "-v0"], env)
    tokens = json.loads(run([sys.executable, "-m", "tests.system.senders", "prepare"], env))
    at = time.time() + WARM_S
    senders = [begin(env, "send", str(at), *order) for order in (tokens, tokens[::-1])]
    watcher = begin(env, "watch", str(at), str(WATCH_S))
    told = [json.loads(said(sender)) for sender in senders]
    assert json.loads(said(watcher)) is True
    assert [one["failed"] for one in told] == [0, 0]
    of_both_zones, of_the_yard = 2 * MOMENTS, MOMENTS  # air in both, rain in the yard; the loft's rain is refused
    assert sum(one["recorded"] for one in told) == of_both_zones + of_the_yard
    assert sum(one["recorded"] + one["repeated"] for one in told) == 2 * 3 * BATCHES * EACH
    readings, rain, moments, turns = map(
        int, run([sys.executable, "manage.py", "shell", "-v0", "-c", COUNT], env).split()
    )
    assert (readings, rain, moments) == (of_both_zones, of_the_yard, of_both_zones)
    assert turns == 2 * len(tokens) * BATCHES


def begin(env: dict[str, str], *arguments: str) -> "subprocess.Popen[str]":
    """Start a process."""
    command = [sys.executable, "-m", "tests.system.senders", *arguments]
    return subprocess.Popen(command, cwd=ROOT, env=env, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True)


def run(command: list[str], env: dict[str, str]) -> str:
    """Run a command to its end and return what it printed."""
    done = subprocess.run(command, cwd=ROOT, env=env, capture_output=True, text=True)
    assert done.returncode == 0, done.stderr
    return done.stdout


def said(process: "subprocess.Popen[str]") -> str:
    """Wait for a process and return what it printed."""
    out, err = process.communicate(timeout=120)
    assert process.returncode == 0, err
    return out
