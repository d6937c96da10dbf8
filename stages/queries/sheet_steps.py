"""The steps of one hull as its sheet tells them: state, findings, coats, hours, caution."""

from collections.abc import Collection, Iterable
from dataclasses import dataclass, replace
from datetime import datetime

from django.utils import timezone
from django.utils.formats import date_format
from django.utils.text import capfirst
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy, ngettext

from shop.models import ProductKind
from shop.setup.products import GENERAL
from stages.engine.assess import StageStatus
from stages.engine.findings import Finding
from stages.engine.label import Dryness
from stages.engine.rules import RULES
from stages.engine.rules.dry import STEPS
from stages.engine.vocab import Gate, State
from stages.engine.work import Work
from stages.models import Surface
from stages.queries.sheet_coat import DryingCoat
from stages.queries.steps import Ring, deed, left_h, ring_of
from stages.saying import hours, said, when

TITLES = {rule.id: rule.title for rule in RULES}
CLEARED_BY = {  # by rule: the act or place that clears it, whether the act is at the step itself, and the words
    "place": ("move", False, gettext_lazy("Move the hull")),
    "lead": ("lead_test", False, gettext_lazy("Record a lead test")),
    "sound_base": ("survey", False, gettext_lazy("Record the survey")),
    "sand_between": ("sand", True, gettext_lazy("Record sanding")),
    "rags": ("rags", True, gettext_lazy("See to the rags")),
    "approved": ("#agreements", False, gettext_lazy("To the estimate")),
    "paid": ("#balance", False, gettext_lazy("To the balance")),
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Told:
    """A finding as `components/findings.html` takes it; ``href`` and ``how`` lead to what clears it."""

    rule: str
    title: str
    severity: str
    sentence: str
    clears: str
    earliest: str
    href: str
    how: str


@dataclass(frozen=True, slots=True, kw_only=True)
class StepRow:
    """One step of the plan of work.

    ``planned`` is False for a stage that the survey does not ask for, ``leaves`` is True for the one by which the boat
    goes home: it is never left out; ``coats`` and ``hours`` are in words,
    ``caution`` says what can hurt someone, ``after`` which step comes first where nothing else keeps it waiting (then
    there are no findings), and ``dries`` is told of a step in hand that waits for its coat.
    """

    key: str
    name: str
    state: str
    says: str
    now: bool
    planned: bool
    started: bool
    open: bool
    leaves: bool
    hours: str
    coats: str
    caution: str
    ring: Ring | None
    findings: tuple[Told, ...]
    after: str = ""
    dries: DryingCoat | None = None

    @property
    def tells_more(self) -> bool:
        """Whether there is more to know of it than its name and its state."""
        return bool(self.hours or self.coats or self.after or self.findings or self.may_change)

    @property
    def may_change(self) -> bool:
        """Whether hands can start it, leave it out or put it back."""
        return self.open or self.state == State.LEFT_OUT


def step_row(work: Work, status: StageStatus, now: datetime) -> StepRow:
    """A stage's status in words."""
    spec, record = status.spec, status.record
    planned = spec.when.holds(work.scope) or bool(record.started_at)
    left = left_h(status) if record.started_at else status.hours
    return StepRow(
        key=spec.key,
        name=spec.name,
        state=status.state.value,
        says=_says(status, now),
        now=status.hands,
        planned=planned,
        started=record.started_at is not None,
        open=work.open(spec),
        leaves=Gate.HAND_OVER in spec.gates,
        hours=hours(left) if left and record.finished_at is None else "",
        coats=_coats(status),
        caution=caution_of(spec.caution),
        ring=ring_of(status),
        after=(after := _after(status)),
        findings=() if after else tuple(told(finding, now, spec.key) for finding in status.findings),
    )


def _after(status: StageStatus) -> str:
    """The step that comes first, where that alone keeps another one waiting."""
    first = status.findings[0].words.values.get("first") if len(status.findings) == 1 else None
    return _("After “%(first)s”") % {"first": first} if first else ""


def cautioned_once(rows: Iterable[StepRow]) -> tuple[StepRow, ...]:
    """The same steps, each caution on the first of those that share it."""
    shown: set[str] = set()
    found = []
    for row in rows:
        found.append(replace(row, caution="") if row.caution in shown else row)
        shown.add(row.caution)
    return tuple(found)


def said_above(rows: Iterable[StepRow], above: Collection[str]) -> tuple[StepRow, ...]:
    """The steps of the plan; those in hand without what stands above, under “Now”."""
    return tuple(replace(row, findings=(), caution="") if row.key in above else row for row in rows if row.planned)


def not_asked_for(statuses: Iterable[StageStatus]) -> tuple[str, ...]:
    """Names of the stages that neither the survey nor the owner's choices ask for."""
    statuses = tuple(statuses)
    out = {s.spec.name: s for s in statuses if s.state is State.LEFT_OUT and not s.record.left_out}
    asked = {s.spec.name for s in statuses if s is not out.get(s.spec.name)}
    return tuple(name for name in out if name not in asked)


def told(finding: Finding, now: datetime, stage: str = "") -> Told:
    """A finding in words, and the way to the form that clears it; ``stage`` is the step that it was found at."""
    return Told(
        rule=finding.rule,
        title=_(TITLES[finding.rule]),
        severity=finding.severity.value,
        sentence=said(finding.words),
        clears=said(finding.clears),
        earliest=when(finding.earliest, now) if finding.earliest else "",
        href=_href(finding, stage),
        how=str(CLEARED_BY[finding.rule][2]) if finding.rule in CLEARED_BY else "",
    )


def _href(finding: Finding, stage: str) -> str:
    if finding.rule not in CLEARED_BY:
        return ""
    action, at_step, _how = CLEARED_BY[finding.rule]
    if action.startswith("#"):
        return action
    about = stage if at_step else ""
    return f"?do={action}&about={about}#" + "-".join(filter(None, ("do", action, about)))


def caution_of(text: str) -> str:
    """A caution without its usual ending, which the page adds."""
    return text.replace(GENERAL, "").strip()


def on_day(at: datetime) -> str:
    """The day of a moment by the shop's clock: ``14 May``, with its year when that is another one."""
    local = timezone.localtime(at)
    return date_format(local, "j F" if local.year == timezone.localtime().year else "j F Y")


def dry_words(dryness: Dryness, at: datetime | None, now: datetime) -> str:
    """When a coat is dry enough for its next step."""
    step = _(STEPS[dryness])
    if at is None:
        return _("stands still in this air")
    return _("dry enough to %(step)s %(when)s") % {"step": step, "when": when(at, now)}


def _says(status: StageStatus, now: datetime) -> str:
    record = status.record
    match status.state:
        case State.FINISHED if record.finished_at:
            return _("finished %(day)s") % {"day": on_day(record.finished_at)}
        case State.LEFT_OUT:
            return _("left out: %(reason)s") % {"reason": record.left_out} if record.left_out else _("left out")
        case State.READY:
            return _("ready: %(deed)s") % {"deed": deed(status)}
        case State.ON_BENCH:
            return _("on the bench: %(deed)s") % {"deed": deed(status)}
        case State.DRYING:
            return _drying(status, now)
    if status.earliest:
        return _("waiting, %(when)s at the earliest") % {"when": when(status.earliest, now)}
    return _("waiting")


def _drying(status: StageStatus, now: datetime) -> str:
    if status.drying:
        return _("drying, %(when)s") % {"when": dry_words(status.drying.dryness, status.drying.at, now)}
    earliest = f", {when(status.earliest, now)}" if status.earliest else ""
    return _("airing outdoors") + earliest


def _coats(status: StageStatus) -> str:
    spec = status.spec
    if not spec.coats or spec.product is None or spec.surface is None:
        return ""
    words = ngettext("%(n)s coat of %(kind)s, %(surface)s", "%(n)s coats of %(kind)s, %(surface)s", spec.coats)
    kind, surface = ProductKind(spec.product).label, Surface(spec.surface).label
    asked = words % {"n": spec.coats, "kind": kind, "surface": surface}
    on = status.record.coats_on
    return capfirst(_("%(asked)s; %(on)s on") % {"asked": asked, "on": on} if on else asked)
