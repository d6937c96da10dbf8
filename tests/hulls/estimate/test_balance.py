"""Balance and margin: sums by hand."""

from decimal import Decimal
from typing import Any

import pytest

from hulls.estimate import Balance, Margin

D = Decimal


def balance(**amounts: Any) -> Balance:
    return Balance(**{name: D(amount) for name, amount in amounts.items()})


@pytest.mark.parametrize(
    ("held", "due", "now"),
    [
        (balance(), "0", "0"),
        (balance(agreed="1000", deposit="300"), "1000", "300"),
        (balance(agreed="1000", deposit="300", paid="100"), "900", "200"),
        (balance(agreed="1000", deposit="300", paid="300"), "700", "0"),
        (balance(agreed="1000", deposit="300", paid="300", billed="1100", held="1000"), "800", "800"),
        (balance(agreed="1000", deposit="300", paid="1100", billed="1100", held="1000"), "0", "0"),
        (balance(agreed="1000", deposit="300", paid="1100.01", billed="1100", held="1000"), "-0.01", "0"),
        (balance(agreed="1200", deposit="300", paid="1100", billed="1100", held="1000"), "200", "0"),
        (balance(billed="50"), "50", "50"),
        (balance(paid="50"), "-50", "0"),
    ],
)
def test_what_is_due_and_what_of_it_now(held: Balance, due: str, now: str) -> None:
    assert (held.due, held.due_now) == (D(due), D(now))
    assert held.is_clear is (D(due) <= 0)


def test_a_credit_note_leaves_everything_as_before_its_invoice() -> None:
    before = balance(agreed="1000", deposit="300", paid="300")
    after = balance(agreed="1000", deposit="300", paid="300", billed=D(1100) - D(1100), held=D(1000) - D(1000))
    assert after == before


def test_the_margin_is_what_was_charged_less_what_it_cost() -> None:
    made = Margin(charged=D(1000), materials=D(150), hours=D("7.5"), hour_cost=D(40), subcontracts=D(120))
    assert (made.work, made.left, made.pct) == (D(300), D(430), D(43))


def test_a_boat_can_cost_more_than_it_brings_and_one_that_was_never_charged_has_no_share() -> None:
    assert Margin(charged=D(100), materials=D(150), hours=D(0), hour_cost=D(40), subcontracts=D(0)).left == D(-50)
    assert Margin(charged=D(0), materials=D(0), hours=D(1), hour_cost=D(40), subcontracts=D(0)).pct is None
