"""Feet, inches and eighths: the inch is 25.4 mm exactly (NIST SP 811, 2008, appendix B.6)."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shop.units import UnitError, is_eighths, parse_eighths

INCH = 0.0254


@pytest.mark.parametrize(
    ("text", "inches"),
    [
        ("0-0-0", 0),
        ("1-2-3", 12 + 2 + 3 / 8),
        ("1-2-3+", 12 + 2 + 3 / 8 + 1 / 16),
        ("1-2-3-", 12 + 2 + 3 / 8 - 1 / 16),
        ("0-11-7+", 11 + 7 / 8 + 1 / 16),
        (" 16 - 0 - 4 ".replace(" ", ""), 192.5),
        ("1–2–3", 14.375),  # as a word processor makes it
    ],
)
def test_it_reads_what_boatbuilders_write(text: str, inches: float) -> None:
    assert is_eighths(text)
    assert parse_eighths(text) == pytest.approx(inches * INCH, abs=1e-12)


@given(st.integers(0, 40), st.integers(0, 11), st.integers(0, 7), st.sampled_from(["", "+"]))
def test_every_sixteenth_has_its_own_writing(feet: int, inches: int, eighths: int, mark: str) -> None:
    sixteenths = 16 * (12 * feet + inches) + 2 * eighths + len(mark)

    assert parse_eighths(f"{feet}-{inches}-{eighths}{mark}") == pytest.approx(sixteenths * INCH / 16)


@pytest.mark.parametrize("text", ["1-12-0", "1-2-8", "0-0-0-", "1-2", "1-2-3-4", "1-2-3++", "a-b-c", "-1-2-3", ""])
def test_what_is_not_written_so_is_refused(text: str) -> None:
    with pytest.raises(UnitError):
        parse_eighths(text)
