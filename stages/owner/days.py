"""Days as people say them, by the clock of the active time zone."""

from datetime import date, datetime

from django.utils import timezone
from django.utils.formats import date_format
from django.utils.translation import gettext as _

NOON, EVENING = 12, 18
A_WEEK = 7


def day(on: date, today: date) -> str:
    """A day, such as "12 June", with its year when that is another one."""
    return date_format(on, "j F" if on.year == today.year else "j F Y")


def span(first: date, last: date, today: date) -> str:
    """One day, or the first and the last of several: "19 to 23 May"."""
    if first == last:
        return day(last, today)
    short = first.day if (first.year, first.month) == (last.year, last.month) else day(first, today)
    return _("%(first)s to %(last)s") % {"first": short, "last": day(last, today)}


def between(first: date, last: date, today: date) -> str:
    """A span in which something will be: "between 12 and 20 June", "on 12 June"."""
    if first == last:
        return _("on %(day)s") % {"day": day(last, today)}
    short = first.day if (first.year, first.month) == (last.year, last.month) else day(first, today)
    return _("between %(first)s and %(last)s") % {"first": short, "last": day(last, today)}


def about_when(at: datetime, now: datetime) -> str:
    """A moment to come, no finer than an owner needs it.

    Parameters
    ----------
    at, now : datetime
        The moment and the present, aware.

    Returns
    -------
    str
        "this evening", "tomorrow morning", "on Thursday afternoon" within a week, else "on 12 June".
    """
    at, now = timezone.localtime(at), timezone.localtime(now)
    ahead = (at.date() - now.date()).days
    part = 0 if at.hour < NOON else 1 if at.hour < EVENING else 2
    if ahead <= 0:
        return (_("this morning"), _("this afternoon"), _("this evening"))[part]
    if ahead == 1:
        return (_("tomorrow morning"), _("tomorrow afternoon"), _("tomorrow evening"))[part]
    if ahead >= A_WEEK:
        return _("on %(day)s") % {"day": day(at.date(), now.date())}
    patterns = (_("on %(weekday)s morning"), _("on %(weekday)s afternoon"), _("on %(weekday)s evening"))
    return patterns[part] % {"weekday": date_format(at, "l")}
