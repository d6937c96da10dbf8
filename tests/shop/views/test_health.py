import os
import subprocess
import sys

from django.test import Client

from shop.launch.environment import ROOT
from tests.fixtures.processes import free_port

ASK = "from django.test import Client; print(Client(headers={'host': 'localhost'}).get('/healthz').status_code)"


def test_it_answers_200_when_the_database_answers(client: Client, db: None) -> None:
    response = client.get("/healthz")
    assert (response.status_code, response.content) == (200, b"ok\n")
    assert "no-store" in response["Cache-Control"]


def test_it_answers_503_when_the_database_does_not() -> None:
    nobody = f"postgres://nobody@127.0.0.1:{free_port()}/none"
    done = subprocess.run(
        [sys.executable, "manage.py", "shell", "-v0", "-c", ASK],
        cwd=ROOT,
        env={**os.environ, "DJANGO_SETTINGS_MODULE": "shop.settings", "RIBBAND_DATABASE_URL": nobody},
        capture_output=True,
        text=True,
    )
    assert done.stdout == "503\n", done.stderr


def test_it_only_reads(client: Client, db: None) -> None:
    assert client.post("/healthz").status_code == 405
