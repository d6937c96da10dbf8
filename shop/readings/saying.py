"""What the program says of flagged readings, and of a file that came in."""

from collections.abc import Iterator

from django.utils import timezone
from django.utils.formats import date_format
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy, ngettext

from shop.readings.importing import FileTaken
from shop.readings.seen import Wrong

FLAG_WORDS = {
    Wrong.STUCK: gettext_lazy("Temperature or humidity has stood still for hours, as no air does."),
    Wrong.RESTLESS: gettext_lazy("It swings to and fro as no air does."),
    Wrong.WILD: gettext_lazy("Air does not change so much in so short a time."),
}


def said_of(taken: FileTaken, *, check_only: bool) -> list[str]:
    """Sentences about a file that was read: what was taken in, how it runs, and by which rule its clock was read."""
    return [_counts(taken), _outcome(taken, check_only=check_only), *_notes(taken)]


def _counts(taken: FileTaken) -> str:
    good = ngettext("%(count)d row is good.", "%(count)d rows are good.", taken.good) % {"count": taken.good}
    if taken.first is None or taken.last is None:
        return good
    span = _("They run from %(first)s to %(last)s.") % {
        "first": date_format(timezone.localtime(taken.first), "Y-m-d H:i"),
        "last": date_format(timezone.localtime(taken.last), "Y-m-d H:i"),
    }
    return f"{good} {span}"


def _outcome(taken: FileTaken, *, check_only: bool) -> str:
    if check_only:
        return _("This was a check: nothing was taken in.")
    words = ngettext("%(count)d reading taken in.", "%(count)d readings taken in.", taken.recorded)
    said = words % {"count": taken.recorded}
    if taken.repeated:
        known = ngettext("%(count)d was on record already.", "%(count)d were on record already.", taken.repeated)
        said += " " + known % {"count": taken.repeated}
    return said


def _notes(taken: FileTaken) -> Iterator[str]:
    if taken.bad:
        words = ngettext("%(count)d row was left out.", "%(count)d rows were left out.", taken.bad)
        yield words % {"count": taken.bad}
    if taken.flagged:
        yield ngettext(
            "%(count)d reading looks wrong and is kept out of the drying times until somebody decides.",
            "%(count)d readings look wrong and are kept out of the drying times until somebody decides.",
            taken.flagged,
        ) % {"count": taken.flagged}
    if taken.rain_left:
        yield ngettext(
            "The rain in %(count)d row was left aside: it does not rain in the zone of this sensor.",
            "The rain in %(count)d rows was left aside: it does not rain in the zone of this sensor.",
            taken.rain_left,
        ) % {"count": taken.rain_left}
    if taken.empty:
        words = ngettext("%(count)d row holds no reading.", "%(count)d rows hold no reading.", taken.empty)
        yield words % {"count": taken.empty}
    if taken.gaps:
        hours = round(taken.longest.total_seconds() / 3600)
        yield ngettext(
            "There is %(count)d gap of more than 6 hours, of %(hours)d hours.",
            "There are %(count)d gaps of more than 6 hours; the longest has %(hours)d hours.",
            taken.gaps,
        ) % {"count": taken.gaps, "hours": hours}
    if taken.backwards and taken.backwards != taken.good - 1:
        words = ngettext(
            "%(count)d row is older than the row before it.",
            "%(count)d rows are older than the row before them.",
            taken.backwards,
        )
        yield words % {"count": taken.backwards}
    yield from _clock_notes(taken)


def _clock_notes(taken: FileTaken) -> Iterator[str]:
    if taken.twice:
        yield ngettext(
            "%(count)d stamp lies in the hour that comes twice when the clocks go back; the order of the rows told the "
            "first pass from the second.",
            "%(count)d stamps lie in the hour that comes twice when the clocks go back; the order of the rows told the "
            "first pass from the second.",
            taken.twice,
        ) % {"count": taken.twice}
    if taken.skipped:
        yield ngettext(
            "%(count)d stamp lies in the hour that is skipped when the clocks go forward, and was read as if they had "
            "not. If the logger does not change its clock, name its zone as a fixed offset, such as UTC+01:00.",
            "%(count)d stamps lie in the hour that is skipped when the clocks go forward, and were read as if they had "
            "not. If the logger does not change its clock, name its zone as a fixed offset, such as UTC+01:00.",
            taken.skipped,
        ) % {"count": taken.skipped}
