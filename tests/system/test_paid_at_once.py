"""Two processes record the same payments and issue invoices at once: each payment is one, the numbers have no gaps."""

from tests.system.at_once import play

PAYMENTS = 4


def test_on_sqlite_a_payment_recorded_twice_at_once_is_one(on_sqlite: dict[str, str]) -> None:
    check_each_is_one(on_sqlite)


def test_on_postgres_a_payment_recorded_twice_at_once_is_one(on_postgres: dict[str, str]) -> None:
    check_each_is_one(on_postgres)


def check_each_is_one(settings: dict[str, str]) -> None:
    """Let two processes work at the same moments."""
    found = play(settings, "payers", PAYMENTS)
    of_ada, of_ben = found.told
    for number, pair in enumerate(zip(of_ada, of_ben, strict=True)):
        assert sorted(told["recorded"] for told in pair) == [False, True]
        other = next(told for told in pair if not told["recorded"])
        assert other["asked" if number % 2 else "repeated"]
    assert sorted(told["invoice"] for told in of_ada + of_ben) == list(range(1, 2 * PAYMENTS + 1))
    assert found.left == PAYMENTS
    assert "the tables equal the log" in found.audit
