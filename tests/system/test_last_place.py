"""Two hulls are moved to the last place of a station at once, from two processes: one stands there, one is refused."""

import os
import subprocess
import sys
import time
from pathlib import Path

import pytest

from shop.launch.environment import ROOT
from tests.fixtures.servers import PostgresServer
from tests.system.test_two_hands import run, said

RAILS = 16
WARM_S = 4.0


@pytest.fixture
def on_sqlite(tmp_path: Path) -> dict[str, str]:
    """The laptop's database."""
    return {"RIBBAND_VAR": str(tmp_path)}


@pytest.fixture
def on_postgres(tmp_path: Path, postgres_server: PostgresServer) -> dict[str, str]:
    """The database of several machines, where both look before either writes."""
    return {"RIBBAND_VAR": str(tmp_path), "RIBBAND_DATABASE_URL": postgres_server.new_database()}


def test_on_sqlite_one_of_two_gets_the_last_place(on_sqlite: dict[str, str]) -> None:
    check_one_of_two_gets_it(on_sqlite)


def test_on_postgres_one_of_two_gets_the_last_place(on_postgres: dict[str, str]) -> None:
    check_one_of_two_gets_it(on_postgres)


def check_one_of_two_gets_it(settings: dict[str, str]) -> None:
    """Let two processes move their hulls to the same rails at the same moments."""
    env = {**os.environ, "DJANGO_SETTINGS_MODULE": "shop.settings", **settings}
    run([sys.executable, "manage.py", "migrate", "-v0"], env)
    run([sys.executable, "-m", "tests.system.movers", "prepare", str(RAILS)], env)
    at = str(time.time() + WARM_S)
    movers = [
        subprocess.Popen(
            [sys.executable, "-m", "tests.system.movers", "move", name, at, str(RAILS)],
            cwd=ROOT,
            env=env,
            stdout=subprocess.PIPE,
            stderr=subprocess.PIPE,
            text=True,
        )
        for name in ("ada", "ben")
    ]
    for of_ada, of_ben in zip(*map(said, movers), strict=True):
        assert of_ada["done"] is not of_ben["done"]
        assert (of_ben if of_ada["done"] else of_ada)["rules"] == ["place"]
    assert "the tables equal the log" in run([sys.executable, "manage.py", "audit"], env)
