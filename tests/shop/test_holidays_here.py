"""Public holidays of a country's part, and of a part that the library knows no more."""

from datetime import date

import pytest

from shop.holidays_here import public_holidays

GOOD_FRIDAY = date(2026, 4, 3)  # Easter 2026 is the 5th of April: Code du travail L3134-13 for Moselle alone


@pytest.mark.parametrize(("region", "closed"), [("57", True), ("", False), ("gone", False)])
def test_a_part_of_a_country_has_holidays_of_its_own_and_an_unknown_part_has_the_country_s(
    region: str, closed: bool
) -> None:
    named = public_holidays("FR", region, [2026])
    assert (GOOD_FRIDAY in named) is closed
    assert date(2026, 7, 14) in named


def test_without_a_country_there_are_none() -> None:
    assert public_holidays("", "", [2026]) == {}
    assert public_holidays("XX", "57", [2026]) == {}
