"""The rows of a sheet beside the hulls that the shop has already."""

from collections.abc import Iterable, Iterator
from datetime import date
from itertools import islice
from typing import TypeVar

from django.db.models.functions import Lower
from django.utils.translation import gettext as _

from hulls.intake import DateOrder, HullRow, HullSheet, RowProblem
from hulls.models import Hull

BATCH = 500

T = TypeVar("T")


def in_batches(items: Iterable[T], size: int = BATCH) -> Iterator[list[T]]:
    """Items by the handful, so that no more than that is in memory."""
    walk = iter(items)
    while batch := list(islice(walk, size)):
        yield batch


def checked_rows(
    *, sheet: HullSheet, today: date, date_order: DateOrder | None = None
) -> Iterator[HullRow | RowProblem]:
    """Rows of a sheet in order; one whose tag the shop has already is a problem.

    Parameters
    ----------
    sheet : HullSheet
        The sheet, opened.
    today : date
        The day in the shop's time zone.
    date_order : DateOrder or None
        The order of dates that are not ISO.
    """
    title = sheet.title_of("tag")
    for batch in in_batches(sheet.rows(today=today, date_order=date_order)):
        taken = tags_taken(found.tag for found in batch if isinstance(found, HullRow))
        for found in batch:
            if isinstance(found, HullRow) and found.tag.casefold() in taken:
                reason = _("The shop has a hull with the tag %(tag)s already.") % {"tag": found.tag}
                yield RowProblem(row=found.row, line=found.line, column=title, reason=reason)
            else:
                yield found


def tags_taken(tags: Iterable[str]) -> frozenset[str]:
    """Which of these tags the shop's hulls have, in lower case; capitals make no difference."""
    wanted = {tag.casefold() for tag in tags}
    held = Hull.objects.annotate(plain=Lower("tag")).filter(plain__in=wanted)
    return frozenset(held.values_list("plain", flat=True))
