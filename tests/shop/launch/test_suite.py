"""The test command where a program is missing: nothing is skipped in silence, and the run is no pass."""

import os
import subprocess
import sys
from pathlib import Path

from shop.launch.environment import ROOT
from shop.launch.suite import FIRST, in_order

BROWSER_TESTS = "tests/system/test_watched_pages.py"
OTHER_TESTS = "tests/shop/test_settings.py::test_a_secret_key_is_long_enough_or_refused"


def run(*command: str, **env: str) -> subprocess.CompletedProcess[str]:
    """Run a command of the checkout in a Python of its own."""
    return subprocess.run(
        [sys.executable, *command], cwd=ROOT, env={**os.environ, **env}, capture_output=True, text=True, timeout=120
    )


def test_tests_left_out_are_named_and_the_status_is_not_zero() -> None:
    done = run("-m", "pytest", "-q", "--without=chromium", BROWSER_TESTS, OTHER_TESTS)
    assert done.returncode == 1
    assert "2 passed" in done.stdout
    assert f"{BROWSER_TESTS}::test_axe_finds_what_is_wrong_with_a_dressed_page" in done.stdout
    assert "this is not a pass" in done.stdout


def test_the_same_run_with_nothing_left_out_passes() -> None:
    done = run("-m", "pytest", "-q", OTHER_TESTS)
    assert done.returncode == 0
    assert "not a pass" not in done.stdout


def test_a_bare_pytest_fails_where_a_program_is_missing_and_says_what_helps() -> None:
    done = run("-m", "pytest", "-q", BROWSER_TESTS, PATH="/nowhere")
    assert done.returncode == 1
    assert "chromium is missing: `python3 manage.py test` installs it." in done.stdout
    assert " skipped" not in done.stdout


def test_the_test_command_says_what_it_cannot_install_and_is_not_a_pass() -> None:
    done = run("manage.py", "test", "-q", BROWSER_TESTS, OTHER_TESTS, PATH="/nowhere")
    assert done.returncode == 1
    assert "There is no apt-get here" in done.stderr
    assert "left out, for want of chromium, redis" in done.stdout
    assert "2 passed" in done.stdout


def test_the_whole_suite_is_every_file_of_tests_once_and_those_that_start_programs_come_first() -> None:
    named = [Path(name) for name in in_order(ROOT / "tests")]
    files = list((ROOT / "tests").rglob("test_*.py"))
    assert files
    for file in files:
        assert len([name for name in named if name == file or name in file.parents]) == 1
    assert {name.name for name in named[: len(FIRST)]} == set(FIRST)
