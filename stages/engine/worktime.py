"""Hours of a day that a shop works: what lies between a start and an end when the nights are left out."""

from datetime import datetime, time, timedelta, tzinfo

OPENS, CLOSES = time(8), time(17)  # common practice, no published source
BREAK_H = 1.0  # of a full day
FULL_DAY_H = 9.0
SATURDAY = 5


def worked_h(since: datetime, until: datetime, zone_info: tzinfo) -> float:
    """Hours between two moments that hands may have worked, h.

    Parameters
    ----------
    since, until : datetime
        Start and end, aware; the end is no earlier.
    zone_info : tzinfo
        The shop's time zone.

    Returns
    -------
    float
        A day counts from its opening to its closing, an hour's break of a full day and weekends left out;
        work of one weekend day is work all the same.
    """
    since, until = since.astimezone(zone_info), until.astimezone(zone_info)
    hours = 0.0
    day = since.date()
    while day <= until.date():
        opens = max(since, datetime.combine(day, OPENS, tzinfo=zone_info))
        closes = min(until, datetime.combine(day, CLOSES, tzinfo=zone_info))
        open_h = max((closes - opens) / timedelta(hours=1), 0.0)
        if day.weekday() < SATURDAY or since.date() == until.date():
            hours += open_h - BREAK_H * open_h / FULL_DAY_H
        day += timedelta(days=1)
    return hours
