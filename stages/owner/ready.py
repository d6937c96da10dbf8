"""When a boat is most likely ready, in its owner's words, and how that changed since last week."""

from dataclasses import dataclass
from datetime import date
from typing import Protocol

from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from stages.owner.days import between


class Dates(Protocol):
    """What a forecast tells of a boat: the days of 10 and of 90 % chance, how far it moved in a week, and why."""

    @property
    def early(self) -> date:
        """The early day."""

    @property
    def late(self) -> date:
        """The late day."""

    @property
    def moved_days(self) -> int:
        """Days later than a week ago; below zero it is sooner."""

    @property
    def why(self) -> tuple[str, ...]:
        """Why, the newest first."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Ready:
    """The span of days, how it changed, and why."""

    span: str
    changed: str
    why: str


def ready(dates: Dates, today: date) -> Ready:
    """Say when a boat is most likely ready."""
    return Ready(
        span=span_of(dates.early, dates.late, today), changed=_changed(dates.moved_days), why=next(iter(dates.why), "")
    )


def span_of(early: date, late: date, today: date) -> str:
    """The span of days in words; one that has begun begins today."""
    return between(max(early, today), max(late, today), today)


def _changed(days: int) -> str:
    if days > 0:
        return ngettext("%(n)s day later than last week", "%(n)s days later than last week", days) % {"n": days}
    if days < 0:
        return ngettext("%(n)s day sooner than last week", "%(n)s days sooner than last week", -days) % {"n": -days}
    return _("as last week")
