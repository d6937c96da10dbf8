"""What of the plan somebody wants to see; whatever cannot be read shows this week."""

from collections.abc import Mapping
from datetime import date, timedelta

from stages.queries.plan_chart import Seen, Zoom

FAR = timedelta(days=3 * 365)


def seen_of(asked: Mapping[str, str], today: date) -> Seen:
    """Read an address's words.

    Parameters
    ----------
    asked : mapping of str to str
        ``zoom``, ``from`` (ISO 8601) and ``boat``.
    today : date
        By the shop's clock.

    Returns
    -------
    Seen
        A week and a month begin on a Monday.
    """
    zoom = asked.get("zoom", "")
    chosen = Zoom(zoom) if zoom in set(Zoom) else Zoom.WEEK
    first = _day(asked.get("from", ""), today)
    monday = first - timedelta(days=first.weekday())
    return Seen(zoom=chosen, first=first if chosen is Zoom.DAY else monday, boat=asked.get("boat", "")[:16])


def _day(text: str, today: date) -> date:
    try:
        found = date.fromisoformat(text)
    except ValueError:
        return today
    return found if abs(found - today) <= FAR else today
