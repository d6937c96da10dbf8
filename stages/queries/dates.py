"""When a hull is likely done: early, likely and late by the newest forecast, and how far that moved in a week."""

import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from typing import Any

from django.db.models import OuterRef, Subquery
from django.utils.formats import date_format
from django.utils.translation import gettext as _

from shop.stored import stored
from stages.models import HullDates

A_WEEK = timedelta(days=7)
ENDS_IN_A_DAY = re.compile(r"\d{4}-\d{2}-\d{2}$")
ONE_OF_ITS_COATS = re.compile(r"(?P<step>.+), coat (?P<n>\d+) of (?P<of>\d+)$")  # as a plan calls it
LATEST = 200  # rows of a hull that are looked at, several a day over a month


@dataclass(frozen=True, slots=True, kw_only=True)
class HullDatesShown:
    """A hull's dates as pages show them.

    Parameters
    ----------
    early, likely, late, suggested : date
        By which it is done with a chance of 10, 50, 90 and 80 %.
    promised : date or None
        What its owner was promised when the forecast was made.
    chance_pct : float or None
        Chance of keeping that, %.
    made_at : datetime
        When the forecast was made.
    since : HullDates or None
        What was told about a week ago; None for a hull that is younger to the forecast.
    moved_days : int
        By how many days the likely one is later than it was then; below zero it is sooner.
    why : tuple of str
        Why it moved, in plain words, the newest first.
    """

    early: date
    likely: date
    late: date
    suggested: date
    promised: date | None
    chance_pct: float | None
    made_at: datetime
    since: HullDates | None
    moved_days: int
    why: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class NoDate:
    """A hull for which no day can be named since a moment, and why, in the shop's words."""

    since: datetime
    why: str


def dates_of(hull_id: int) -> HullDatesShown | NoDate | None:
    """The dates of a hull, in one query; None before its first forecast."""
    rows = list(HullDates.objects.filter(hull_id=hull_id).order_by("-made_at", "-pk")[:LATEST])
    if not rows:
        return None
    newest, days = rows[0], rows[0].days
    if days is None:
        return NoDate(since=newest.made_at, why=in_words(newest.no_date))
    # A row is written only where something moved: the last one before a week ago is what was told then.
    before = [(row, told) for row in rows[1:] if (told := row.days)]
    then = [(row, told) for row, told in before if row.made_at <= newest.made_at - A_WEEK]
    since, was = then[0] if then else (before[-1] if before else (None, days))
    recent = [row for row in rows if row.made_at > newest.made_at - A_WEEK]
    return HullDatesShown(
        early=days.early,
        likely=days.likely,
        late=days.late,
        suggested=days.suggested,
        promised=newest.promised_on,
        chance_pct=newest.chance_pct,
        made_at=newest.made_at,
        since=since,
        moved_days=(days.likely - was.likely).days,
        why=tuple(in_words(row.why) for row in recent if row.why),
    )


def newest_dates(hulls: Iterable[int]) -> Mapping[int, HullDates]:
    """The newest row of each hull, in one query."""
    newest = HullDates.objects.filter(hull=OuterRef("hull")).order_by("-made_at", "-pk").values("pk")[:1]
    found = HullDates.objects.filter(hull__in=list(hulls), pk=Subquery(newest))
    return {row.hull_id: row for row in found}


def newest_dates_by_tag(tags: Iterable[str]) -> Mapping[str, HullDates]:
    """The newest row of each hull by its tag, in one query."""
    newest = HullDates.objects.filter(hull=OuterRef("hull")).order_by("-made_at", "-pk").values("pk")[:1]
    found = HullDates.objects.filter(hull__tag__in=list(tags), pk=Subquery(newest)).select_related("hull")
    return {row.hull.tag: row for row in found}


def in_words(why: Iterable[Mapping[str, Any]]) -> str:
    """Sentences with named gaps, as `HullDates` keeps them, in the reader's language."""
    return " ".join(_(said["text"]) % {key: _filled(value) for key, value in said["values"].items()} for said in why)


def _filled(value: object) -> object:
    """What fills a gap, in the reader's language: a step that the set-up named, or a day, which is kept as ISO 8601."""
    if not isinstance(value, str):
        return value
    if found := ENDS_IN_A_DAY.search(value):
        return date_format(date.fromisoformat(found.group()), "l j F")
    if coat := ONE_OF_ITS_COATS.match(value):
        return _("%(step)s, coat %(n)s of %(of)s") % {**coat.groupdict(), "step": stored(coat["step"])}
    return stored(value)
