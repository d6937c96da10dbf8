"""The field for a label's drying hours: read as a label prints them, shown so that it reads them back."""

from typing import Any

import pytest
from django.core.exceptions import ValidationError
from hypothesis import given
from hypothesis import strategies as st

from stages.forms.label_table import LabelTableField

FIELD = LabelTableField(required=False)


@pytest.mark.parametrize(
    ("typed", "pairs"),
    [
        ("10C:36h,23C:16h,35C:9h", [[10.0, 36.0], [23.0, 16.0], [35.0, 9.0]]),  # as the command dryclock takes it
        ("10 °C: 36 h, 23 °C: 16 h", [[10.0, 36.0], [23.0, 16.0]]),
        ("10: 36\n23: 16", [[10.0, 36.0], [23.0, 16.0]]),
        ("50 °F: 1,5 h", [[10.0, 1.5]]),
        ("", []),
    ],
)
def test_it_reads_what_labels_print(typed: str, pairs: list[list[float]]) -> None:
    assert FIELD.clean(typed) == [pytest.approx(pair) for pair in pairs]


@pytest.mark.parametrize("typed", ["10", "10:", ":36", "warm: 36", "10: long", "10: -3", "10: nan", "x" * 401])
def test_it_refuses_what_no_label_prints(typed: str) -> None:
    with pytest.raises(ValidationError):
        FIELD.clean(typed)


@given(st.lists(st.tuples(st.integers(-30, 60), st.integers(1, 2000)), max_size=6))
def test_what_it_shows_it_reads_back(pairs: list[tuple[int, int]]) -> None:
    held: Any = [[float(celsius), float(hours)] for celsius, hours in pairs]
    assert FIELD.clean(FIELD.prepare_value(held)) == held
    assert not FIELD.has_changed(held, FIELD.prepare_value(held))
