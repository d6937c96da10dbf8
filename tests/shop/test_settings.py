"""Production refuses to start with an unsafe value, and passes Django's own check for deployment."""

import os
import subprocess
import sys

import pytest

from shop.launch.environment import ROOT
from shop.production import SHORTEST_KEY, unsafe_values

SAFE = {
    "RIBBAND_PRODUCTION": "1",
    "RIBBAND_SECRET_KEY": "of-the-tests-alone-0123456789-abcdefghijklmnopqrstuvwxyz",
    "RIBBAND_HOSTS": "shop.example.org",
    "RIBBAND_PUBLIC_URL": "https://shop.example.org",
}


def check(**changed: str) -> subprocess.CompletedProcess[str]:
    """Run Django's check for deployment under production settings, some of them changed."""
    others = {name: value for name, value in os.environ.items() if not name.startswith(("RIBBAND_", "DJANGO_"))}
    env = {**others, **SAFE, **changed, "DJANGO_SETTINGS_MODULE": "shop.settings"}
    command = [sys.executable, "manage.py", "check", "--deploy", "--fail-level", "WARNING"]
    return subprocess.run(command, cwd=ROOT, env=env, capture_output=True, text=True)


def test_safe_production_settings_pass_the_check_for_deployment_without_a_warning() -> None:
    done = check()
    assert done.returncode == 0, done.stderr
    assert "no issues" in done.stdout


@pytest.mark.parametrize(
    ("changed", "sentence"),
    [
        ({"RIBBAND_SECRET_KEY": ""}, "RIBBAND_SECRET_KEY must be set"),
        ({"RIBBAND_HOSTS": "*"}, "a wildcard would answer to any name"),
        ({"RIBBAND_PUBLIC_URL": "http://shop.example.org"}, "must be the https:// address"),
        ({"RIBBAND_DEBUG": "1"}, "RIBBAND_DEBUG must be off"),
    ],
)
def test_production_refuses_to_start_with_an_unsafe_value(changed: dict[str, str], sentence: str) -> None:
    done = check(**changed)
    assert done.returncode != 0
    assert "Not starting in production" in done.stderr
    assert sentence in done.stderr


@pytest.mark.parametrize(("length", "refused"), [(SHORTEST_KEY - 1, True), (SHORTEST_KEY, False)])
def test_a_secret_key_is_long_enough_or_refused(length: int, refused: bool) -> None:
    key = ("abcdefghijklmnopqrstuvwxyz" * 2)[:length]
    found = unsafe_values(secret_key=key, hosts=["a.example"], public_url="https://a.example", debug=False)
    assert bool(found) is refused


def test_a_long_but_monotonous_key_and_a_subdomain_wildcard_are_refused() -> None:
    found = unsafe_values(secret_key="x" * 80, hosts=[".example.org"], public_url="https://a.example", debug=False)
    assert len(found) == 2
