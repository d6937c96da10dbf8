"""Whether the days of a boat are days of this shop: a slip of the year is said where it was typed."""

from datetime import date, timedelta

from django.utils.translation import gettext as _

LONGEST_AGO, LONGEST_AHEAD = timedelta(days=20 * 365), timedelta(days=10 * 365)


def wrong_days(arrived: date | None, promised: date | None, today: date) -> dict[str, str]:
    """Check when a boat arrived and for when it is promised, as far as either is known.

    Returns
    -------
    dict of str
        By ``arrived_on`` and ``promised_on``, a sentence on what is wrong with it.
    """
    wrong: dict[str, str] = {}
    if arrived and arrived > today:
        wrong["arrived_on"] = _("That day has not come yet.")
    elif arrived and arrived < today - LONGEST_AGO:
        wrong["arrived_on"] = _("That is too long ago. Look at the year.")
    if promised and promised > today + LONGEST_AHEAD:
        wrong["promised_on"] = _("That is too far ahead. Look at the year.")
    elif promised and promised < (arrived or today - LONGEST_AGO):
        wrong["promised_on"] = _("That is before it arrived.")
    return wrong
