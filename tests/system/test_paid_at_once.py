"""Two processes record the same payments and issue invoices at once: each payment is one, the numbers have no gaps."""

import json
import time

from tests.system.at_once import begin, manage, run, said

PAYMENTS = 4
WARM_S = 4.0


def test_on_sqlite_a_payment_recorded_twice_at_once_is_one(on_sqlite: dict[str, str]) -> None:
    check_each_is_one(on_sqlite)


def test_on_postgres_a_payment_recorded_twice_at_once_is_one(on_postgres: dict[str, str]) -> None:
    check_each_is_one(on_postgres)


def check_each_is_one(settings: dict[str, str]) -> None:
    """Let two processes work at the same moments."""
    manage(settings, "migrate", "-v0")
    run(settings, "-m", "tests.system.payers", "prepare", str(PAYMENTS))
    at = str(time.time() + WARM_S)
    payers = [begin(settings, "-m", "tests.system.payers", "pay", name, at, str(PAYMENTS)) for name in ("ada", "ben")]
    of_ada, of_ben = (json.loads(said(payer)) for payer in payers)
    for number, pair in enumerate(zip(of_ada, of_ben, strict=True)):
        assert sorted(told["recorded"] for told in pair) == [False, True]
        other = next(told for told in pair if not told["recorded"])
        assert other["asked" if number % 2 else "repeated"]
    assert sorted(told["invoice"] for told in of_ada + of_ben) == list(range(1, 2 * PAYMENTS + 1))
    assert "the tables equal the log" in manage(settings, "audit")
