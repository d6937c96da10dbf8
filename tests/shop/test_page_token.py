"""The token in a page's form: its age, and that nobody else can make one."""

from datetime import UTC, datetime, timedelta

import pytest
import time_machine
from django.core import signing

from shop.page_token import LEAST_AGE_S, MOST_AGE_S, SALT, TokenProblem, new_page_token, read_page_token

MADE = datetime(2031, 5, 5, 8, 0, tzinfo=UTC)
A_BIT = 0.5


@pytest.mark.parametrize(
    ("age_s", "problem"),
    [
        (0.0, TokenProblem.TOO_YOUNG),
        (LEAST_AGE_S - A_BIT, TokenProblem.TOO_YOUNG),
        (LEAST_AGE_S, None),
        (LEAST_AGE_S + A_BIT, None),
        (MOST_AGE_S - A_BIT, None),
        (MOST_AGE_S, None),
        (MOST_AGE_S + A_BIT, TokenProblem.TOO_OLD),
        (-LEAST_AGE_S, TokenProblem.TOO_YOUNG),  # two machines' clocks differ a little
        (-3600.0, TokenProblem.FALSE),  # the clock was set back: to wait would take an hour
    ],
)
def test_it_counts_between_its_least_and_its_most_age(age_s: float, problem: TokenProblem | None) -> None:
    with time_machine.travel(MADE, tick=False) as clock:
        token = new_page_token()
        clock.move_to(MADE + timedelta(seconds=age_s))
        read = read_page_token(token)
    assert read.problem is problem
    assert bool(read.number) is (problem is None)


def test_every_page_has_a_number_of_its_own() -> None:
    with time_machine.travel(MADE, tick=False) as clock:
        tokens = [new_page_token() for _ in range(50)]
        clock.shift(timedelta(minutes=1))
        numbers = [read_page_token(token).number for token in tokens]
    assert len(set(numbers)) == 50
    assert all(0 < len(number) <= 32 for number in numbers)  # as long as it may be kept


@pytest.mark.parametrize("text", ["", "x", "a:b:c", "\x00", "é" * 50, "WyJ4IiwwXQ:1tZ:abc"])
def test_what_the_shop_did_not_make_is_false(text: str) -> None:
    assert read_page_token(text).problem is TokenProblem.FALSE


def test_one_letter_altered_makes_it_false() -> None:
    token = new_page_token()
    altered = token[:-1] + ("a" if token[-1] != "a" else "b")
    assert read_page_token(altered).problem is TokenProblem.FALSE


def test_a_token_signed_for_something_else_is_false() -> None:
    assert read_page_token(signing.dumps(["n", 0], salt=SALT + "x")).problem is TokenProblem.FALSE
