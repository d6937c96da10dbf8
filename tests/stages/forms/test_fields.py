"""Fields at the bench: times by the shop's clock."""

from zoneinfo import ZoneInfo

import pytest
from django.core.exceptions import ValidationError
from django.utils import timezone

from stages.forms.fields import WhenField

# America/Toronto in the time zone database: forward on 2026-03-08 at 02:00, back on 2026-11-01 at 02:00.
TORONTO = ZoneInfo("America/Toronto")


@pytest.mark.parametrize("typed", ["2026-03-08T02:30", "2026-11-01T01:30"])
def test_an_hour_in_which_the_clocks_were_changed_is_refused_in_a_sentence(typed: str) -> None:
    with timezone.override(TORONTO), pytest.raises(ValidationError, match="The clocks were changed in that hour"):
        WhenField().clean(typed)


@pytest.mark.parametrize(
    ("typed", "utc"), [("2026-03-08T03:00", "2026-03-08T07:00"), ("2026-11-01T02:00", "2026-11-01T07:00")]
)
def test_the_hours_beside_it_are_read_by_the_shops_clock(typed: str, utc: str) -> None:
    with timezone.override(TORONTO):
        at = WhenField().clean(typed)
    assert at.astimezone(ZoneInfo("UTC")).strftime("%Y-%m-%dT%H:%M") == utc


def test_nothing_typed_is_now_and_nonsense_is_refused() -> None:
    assert WhenField().clean("") is None
    with pytest.raises(ValidationError, match="valid"):
        WhenField().clean("yesterday, about noon")
