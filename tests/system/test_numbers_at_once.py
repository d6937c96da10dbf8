"""Two people send estimates at once, from two processes: every number is given once, and none is left out."""

import json
import time

from tests.system.at_once import begin, manage, run, said

DRAFTS = 10
WARM_S = 4.0


def test_on_sqlite_numbers_sent_at_once_have_no_gaps(on_sqlite: dict[str, str]) -> None:
    check_numbers(on_sqlite)


def test_on_postgres_numbers_sent_at_once_have_no_gaps(on_postgres: dict[str, str]) -> None:
    check_numbers(on_postgres)


def check_numbers(settings: dict[str, str]) -> None:
    """Let two processes send at the same moments."""
    manage(settings, "migrate", "-v0")
    run(settings, "-m", "tests.system.quoters", "prepare", str(DRAFTS))
    at = str(time.time() + WARM_S)
    quoters = [begin(settings, "-m", "tests.system.quoters", "send", name, at, str(DRAFTS)) for name in ("ada", "ben")]
    labels = [label for quoter in quoters for label in json.loads(said(quoter))]
    assert sorted(labels) == sorted(f"E-{number}" for number in range(1, 2 * DRAFTS + 1))
    assert "the tables equal the log" in manage(settings, "audit")
