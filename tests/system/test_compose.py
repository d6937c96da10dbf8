"""docker-compose.yml: against the Compose specification's schema, and its commands on a real PostgreSQL and Redis.

There need be no Docker here: each service's command and environment are taken out of the file and started as they
stand, only the addresses of the other services replaced by those of the tests' own.
"""

import copy
import http.client
import json
import os
import subprocess
import sys
from collections.abc import Iterator
from contextlib import ExitStack
from dataclasses import dataclass
from functools import partial
from pathlib import Path
from typing import Any
from urllib.error import URLError
from urllib.parse import urlsplit
from urllib.request import urlopen

import jsonschema
import pytest

from shop.launch.environment import ROOT
from tests.fixtures.processes import free_port, running, wait_for
from tests.fixtures.servers import PostgresServer, RedisServer
from tests.system import compose
from tests.system.shop import jobs_in

VARIABLES = {
    "RIBBAND_SECRET_KEY": "of-the-tests-alone-0123456789-abcdefghijklmnopqrstuvwxyz",
    "RIBBAND_DATABASE_PASSWORD": "trusted",
    "RIBBAND_HOST": "shop.example.org",
    "RIBBAND_TRUSTED_PROXIES": "127.0.0.1",
}
COPIED_INTO_THE_IMAGE = ("manage.py", "shop", "hulls", "stages", "templates", "static")


def problems(parsed: dict[str, Any]) -> list[str]:
    """Hold a file against the schema."""
    schema = json.loads(compose.SCHEMA.read_text())
    return [error.message for error in jsonschema.Draft7Validator(schema).iter_errors(parsed)]


def test_the_file_follows_the_compose_specification() -> None:
    assert problems(compose.read()) == []


def test_the_schema_would_find_a_misspelt_key() -> None:
    wrong = copy.deepcopy(compose.read())
    wrong["services"]["web"]["prts"] = wrong["services"]["web"].pop("ports")
    assert any("prts" in problem for problem in problems(wrong))


def test_every_service_is_watched_and_starts_after_what_it_needs() -> None:
    services = compose.read()["services"]
    assert {name for name, service in services.items() if "healthcheck" not in service} == {"prepare"}
    for service in services.values():
        for needed, how in service.get("depends_on", {}).items():
            ends = services[needed].get("restart") == "no"
            assert how == {"condition": "service_completed_successfully" if ends else "service_healthy"}


def test_the_image_holds_every_package_and_page() -> None:
    image = compose.read()["x-ribband"]["build"]["dockerfile_inline"]
    copied = [line.split()[1] for line in image.splitlines() if line.startswith("COPY")]
    assert copied == ["requirements.txt", *COPIED_INTO_THE_IMAGE]
    assert all((ROOT / name).exists() for name in copied)


@dataclass(slots=True, kw_only=True)
class Composed:
    """The services of the file, with the addresses of the tests' own PostgreSQL and Redis put in."""

    addresses: dict[str, str]
    folder: Path

    def command(self, service: str) -> list[str]:
        """The service's command."""
        return [self._here(part) for part in compose.read()["services"][service]["command"]]

    def health_command(self, service: str) -> list[str]:
        """The command that watches over the service."""
        kind, *command = compose.read()["services"][service]["healthcheck"]["test"]
        assert kind == "CMD"
        return [self._here(part) for part in command]

    def env(self, service: str) -> dict[str, str]:
        """The service's environment, and beside it only the counting of effects and the way to the programs."""
        stated = compose.read()["services"][service]["environment"]
        beside = {
            "DJANGO_SETTINGS_MODULE": "tests.system.effects.settings",
            "RIBBAND_TEST_BEGUN": str(self.folder / "begun"),
            "PATH": f"{Path(sys.executable).parent}:{os.environ['PATH']}",
        }
        return {name: self._here(value) for name, value in stated.items()} | beside

    def run(self, command: list[str], service: str) -> subprocess.CompletedProcess[str]:
        """Run a command in the service's environment to its end."""
        env = {**os.environ, **self.env(service)}
        return subprocess.run(command, cwd=ROOT, env=env, capture_output=True, text=True, timeout=120)

    def is_healthy(self, service: str) -> bool:
        """Ask the way the file asks."""
        ours = "environment" in compose.read()["services"][service] and service != "postgres"
        return self.run(self.health_command(service), service if ours else "web").returncode == 0

    def _here(self, value: str) -> str:
        value = compose.filled_in(value, VARIABLES)
        for there, here in self.addresses.items():
            value = value.replace(there, here)
        return value


@pytest.fixture
def composed(tmp_path: Path, postgres_server: PostgresServer, redis_server: RedisServer) -> Composed:
    """The file's services on this machine."""
    web = free_port()
    database = postgres_server.new_database().rsplit("/", 1)[1]
    redis = redis_server.new_database()
    return Composed(
        folder=tmp_path,
        addresses={
            "ribband:trusted@postgres:5432/ribband": f"postgres@127.0.0.1:{postgres_server.port}/{database}",
            "redis://redis:6379/0": redis,
            "--host=0.0.0.0": "--host=127.0.0.1",
            "--port=8000": f"--port={web}",
            "127.0.0.1:8000": f"127.0.0.1:{web}",
            "--port=5432": f"--port={postgres_server.port}",
            "6379": str(redis_server.port),
            "/srv/ribband/var": str(tmp_path),
        },
    )


@pytest.fixture
def up(composed: Composed) -> Iterator[Composed]:
    """The services prepared and started, in the file's order."""
    prepared = composed.run(composed.command("prepare"), "prepare")
    assert prepared.returncode == 0, prepared.stderr
    (composed.folder / "begun").touch()
    with ExitStack() as stack:
        for service in ("web", "worker", "beat"):
            log = composed.folder / f"{service}.log"
            stack.enter_context(running(composed.command(service), log=log, env=composed.env(service)))
        yield composed


def test_the_services_start_answer_and_do_a_job(up: Composed) -> None:
    web = up.health_command("web")[-1].split("'")[1].removesuffix("/healthz")
    wait_for("the web service answers", lambda: answers(f"{web}/healthz"))
    for service in ("web", "worker", "beat", "postgres", "redis"):
        wait_for(f"{service} is healthy", partial(up.is_healthy, service))
    assert up.run(["python", "manage.py", "write_down", "--jobs", "2"], "web").returncode == 0
    database = up.env("web")["RIBBAND_DATABASE_URL"]
    wait_for("the jobs are done", lambda: {job["state"] for job in jobs_in(database).values()} == {"done"})
    assert {key: job["effects"] for key, job in jobs_in(database).items()} == {"job-0": 1, "job-1": 1}
    check_https_is_asked_for(web)


def answers(url: str) -> bool:
    """Tell whether the web service answers 200."""
    try:
        with urlopen(url, timeout=5) as response:
            return bool(response.status == 200)
    except (URLError, OSError):
        return False


def check_https_is_asked_for(web: str) -> None:
    """A page asked for without TLS is sent to https; behind the proxy that says it was https, it is served."""
    assert sent_to(web, "http") == "https://shop.example.org/healthy"
    assert sent_to(web, "https") is None


def sent_to(web: str, proto: str) -> str | None:
    """Ask for a page as the proxy would, without following, and return where the answer sends us."""
    url = urlsplit(web)
    connection = http.client.HTTPConnection(url.hostname or "", url.port)
    headers = {"Host": "shop.example.org", "X-Forwarded-For": "192.0.2.7", "X-Forwarded-Proto": proto}
    connection.request("HEAD", "/healthy", headers=headers)
    location = connection.getresponse().headers.get("Location")
    connection.close()
    return location
