"""Estimates and change orders as pages show them: of one hull, of one row, and what waits for an owner's answer."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, datetime
from decimal import Decimal

from django.utils import timezone
from django.utils.text import capfirst
from django.utils.translation import gettext as _

from hulls.estimate import Estimate as Sums
from hulls.estimate import EstimateError, Line, LineKind
from hulls.models import Answer, Estimate, EstimateKind, Hull
from hulls.wording import gettext_noop
from shop.stored import stored
from stages.engine.route import Route
from stages.saying import when


@dataclass(frozen=True, slots=True, kw_only=True)
class Group:
    """Lines of one kind, and their sum."""

    title: str
    lines: tuple[Line, ...]
    total: Decimal


@dataclass(frozen=True, slots=True, kw_only=True)
class Document:
    """An estimate or change order ready to read; ``label`` is empty for a draft, ``says`` tells how it stands."""

    pk: int | None
    title: str
    label: str
    version: int
    is_change: bool
    words: str
    touches: tuple[str, ...]
    groups: tuple[Group, ...]
    terms: str
    sums: Sums
    currency: str
    sure: bool
    sent_on: date | None
    valid_until: date | None
    digest: str
    says: str
    is_open: bool
    is_over: bool
    answer: str


def group_lines(sums: Sums) -> tuple[Group, ...]:
    """The lines of an estimate by their kind, in the order in which they are read."""
    titles = {
        LineKind.HOURS: _("Work"),
        LineKind.MATERIAL: _("Materials"),
        LineKind.SUBCONTRACT: _("Sub-contracts and lump sums"),
        LineKind.DISCOUNT: _("Taken off"),
    }
    groups = (
        Group(title=title, lines=tuple(line for line in sums.lines if line.kind is kind), total=sums.of(kind))
        for kind, title in titles.items()
    )
    return tuple(group for group in groups if group.lines)


def draft_document(sums: Sums, words: str) -> Document:
    """What the owner would read, before it is sent."""
    return _document(None, sums, words=words, title=_("Estimate"))


def document_of(row: Estimate, route: Route, now: datetime) -> Document:
    """A row as its owner reads it.

    Raises
    ------
    EstimateError
        When the row is not what was sent any more.
    """
    if not row.holds:
        raise EstimateError("", gettext_noop("What stands here is not what was sent. It is not shown; ask the shop."))
    return _document(
        row,
        row.sums,
        words=row.words,
        title=str(capfirst(row.get_kind_display())),
        touches=tuple(stored(route.by_key[key].name) for key in row.stages if key in route.by_key),
        says=how_it_stands(row, now),
    )


def _document(
    row: Estimate | None, sums: Sums, *, words: str, title: str, touches: tuple[str, ...] = (), says: str = ""
) -> Document:
    today = timezone.localdate()
    return Document(
        pk=row.pk if row else None,
        title=title,
        label=row.label if row else "",
        version=row.version if row else 1,
        is_change=bool(row and row.kind == EstimateKind.CHANGE_ORDER),
        words=words,
        touches=touches,
        groups=group_lines(sums),
        terms=row.body.get("terms", "") if row else "",
        sums=sums,
        currency=sums.currency.code,
        sure=sums.low == sums.high,
        sent_on=timezone.localtime(row.sent_at).date() if row and row.sent_at else None,
        valid_until=row.valid_until if row else None,
        digest=row.digest if row else "",
        says=says,
        is_open=bool(row and row.is_open),
        is_over=bool(row and row.valid_until and row.valid_until < today),
        answer=row.answer if row else "",
    )


def how_it_stands(row: Estimate, now: datetime) -> str:
    """What became of a row, in a few words."""
    if row.sent_at is None:
        return _("draft, not sent yet")
    if row.answer == Answer.OPEN:
        over = row.valid_until is not None and row.valid_until < timezone.localtime(now).date()
        return _("its days are over without an answer") if over else _("waits for the owner's answer")
    assert row.answered_at is not None
    gaps = {"name": row.answered_by, "when": when(row.answered_at, now)}
    says = {
        Answer.APPROVED: _("approved by %(name)s, %(when)s"),
        Answer.DECLINED: _("declined by %(name)s, %(when)s"),
        Answer.WITHDRAWN: _("withdrawn, %(when)s"),
        Answer.REPLACED: _("replaced by a later version, %(when)s"),
    }
    return says[Answer(row.answer)] % gaps


@dataclass(frozen=True, slots=True, kw_only=True)
class Entered:
    """One row of a list: what it is called, over how much, and how it stands."""

    pk: int
    tag: str
    label: str
    title: str
    total: Decimal
    currency: str
    says: str
    is_open: bool


def of_hull(hull: Hull, now: datetime) -> tuple[Entered, ...]:
    """Everything that was sent to a hull's owner, the latest first, in one query."""
    rows = Estimate.objects.filter(hull_id=hull.pk, sent_at__isnull=False).select_related("hull")
    return tuple(_entered(rows.order_by("-sent_at", "-pk"), now))


def sent_to_owner(hull: Hull) -> tuple[Estimate, ...]:
    """What a boat's owner is shown: the last version of everything that was not withdrawn, in one query."""
    gone = (Answer.WITHDRAWN, Answer.REPLACED)
    return tuple(Estimate.objects.filter(hull_id=hull.pk, sent_at__isnull=False).exclude(answer__in=gone))


def waiting(now: datetime) -> tuple[Entered, ...]:
    """Everything that waits for an owner's answer, the longest first, in one query."""
    return tuple(_entered(Estimate.objects.waiting().select_related("hull").order_by("sent_at", "pk"), now))


def _entered(rows: Iterable[Estimate], now: datetime) -> Iterable[Entered]:
    for row in rows:
        title = _("%(kind)s, version %(version)s")
        if row.kind == EstimateKind.CHANGE_ORDER:
            title = "%(kind)s"
        gaps = {"kind": capfirst(row.get_kind_display()), "version": row.version}
        yield Entered(
            pk=row.pk,
            tag=row.hull.tag,
            label=row.label,
            title=title % gaps,
            total=row.total,
            currency=row.currency,
            says=how_it_stands(row, now),
            is_open=row.is_open,
        )
