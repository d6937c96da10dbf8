"""How a boat stands today, in a few sentences for its owner."""

from datetime import datetime

from django.utils import timezone
from django.utils.text import capfirst
from django.utils.translation import gettext as _
from django.utils.translation import gettext_noop

from shop.stored import stored
from stages.engine.assess import Drying, StageStatus, headline
from stages.engine.findings import Finding
from stages.engine.label import Dryness
from stages.engine.route import StageSpec
from stages.engine.rules.approved import estimates
from stages.engine.vocab import Gate, State
from stages.engine.work import Work
from stages.owner.days import about_when, day
from stages.owner.kinds import OF, THE

OVER = frozenset({State.FINISHED, State.LEFT_OUT})
DRY_ENOUGH = {
    Dryness.TACK_FREE: gettext_noop("dry enough to be moved"),
    Dryness.SAND: gettext_noop("hard enough to sand"),
    Dryness.RECOAT: gettext_noop("dry enough for the next coat"),
    Dryness.TOPCOAT: gettext_noop("dry enough for what comes over it"),
    Dryness.HANDLE: gettext_noop("hard enough to be handled"),
}
# A rule that has no line here is told by SETTLES: a new rule needs none.
WAITS = {
    "order": gettext_noop("It waits until an earlier step is done."),
    "dry": gettext_noop("It waits until the coat underneath is dry."),
    "place": gettext_noop("It waits for a free bench."),
    "outdoors": gettext_noop("It airs outdoors until it has had its dry days."),
    "lead": gettext_noop("Before anybody sands the old finish, we test it for lead."),
    "sound_base": gettext_noop("The old finish underneath has to come off first."),
    "sand_between": gettext_noop("The last coat is sanded first."),
    "bridge": gettext_noop("A primer goes on first."),
    "approved": gettext_noop("We wait for your answer; what we ask stands below."),
    "paid": gettext_noop("It can go home once its balance is paid; what to pay stands below."),
    "topped": gettext_noop("A varnish that keeps the sun off goes on first."),
}
SETTLES = gettext_noop("We have something to settle in the shop first.")


def told(work: Work, statuses: tuple[StageStatus, ...], now: datetime) -> str:
    """How a boat stands today.

    Parameters
    ----------
    work : Work
        The engine's view of it.
    statuses : tuple of StageStatus
        Where each of its stages stands, from `assess`.
    now : datetime
        The moment, aware.

    Returns
    -------
    str
        One to three sentences, without names of people, other boats or the insides of the shop.
    """
    today = timezone.localtime(now).date()
    if handed_over := work.state.handed_over_at:
        return _("Your boat was handed over on %(day)s.") % {"day": day(timezone.localtime(handed_over).date(), today)}
    head = headline(statuses)
    if head is None:
        return _("All the work is done.")
    if agreeing := _agreeing(work, head.spec):
        return agreeing
    told_by = {State.ON_BENCH: _on_bench, State.DRYING: _drying, State.READY: _ready}.get(head.state, _waiting)
    return " ".join(told_by(work, head, now))


def coat_name(work: Work, drying: Drying) -> str:
    """A coat as people call it: "the second coat of enamel", "the oil"."""
    spec, number = work.route.by_key[drying.coat.stage], drying.coat.number
    kind = work.product(drying.coat).kind
    if spec.coats <= 1 or not number:
        return _(THE[kind])
    of = _(OF[kind])
    ordinals = (_("first"), _("second"), _("third"), _("fourth"), _("fifth"), _("sixth"))
    if number == spec.coats:
        return _("the last coat %(of)s") % {"of": of}
    if number <= len(ordinals):
        return _("the %(which)s coat %(of)s") % {"which": ordinals[number - 1], "of": of}
    return _("coat %(number)s %(of)s") % {"number": number, "of": of}


def _on_bench(work: Work, head: StageStatus, now: datetime) -> list[str]:
    said = [_in_hand(head.spec)]
    on, planned = head.record.coats_on, head.spec.coats
    if planned > 1 and on >= planned:
        said.append(_("All %(n)s coats are on.") % {"n": planned})
    elif on:
        said.append(_("Coats so far: %(on)s of %(n)s.") % {"on": on, "n": planned})
    return [*said, *_stopped(head)]


def _drying(work: Work, head: StageStatus, now: datetime) -> list[str]:
    if head.drying is not None:
        return [_is_drying(work, head.drying), _is_dry(head, head.drying, now)]
    airing = next((finding for finding in head.findings if finding.rule == "outdoors"), None)
    return [_in_hand(head.spec), *(_airs(airing, now) if airing else _stopped(head))]


def _ready(work: Work, head: StageStatus, now: datetime) -> list[str]:
    came = [] if any(record.started_at for record in work.state.stages.values()) else [_("Your boat has come in.")]
    soon = [_("It starts as soon as hands are free.")] if head.spec.station else []
    return [*came, _next(head.spec), *soon]


def _waiting(work: Work, head: StageStatus, now: datetime) -> list[str]:
    if head.drying is not None:
        return [_is_drying(work, head.drying), _is_dry(head, head.drying, now), _next(head.spec)]
    return [_next(head.spec), *_stopped(head)]


def _agreeing(work: Work, spec: StageSpec) -> str | None:
    """What is said instead of the step that waits for the estimate; None for every other step."""
    if Gate.APPROVED not in spec.gates:
        return None
    sent = estimates(work).values()
    if any(held.is_open for held in sent):
        return _("We wait for your yes to the estimate below.")
    declined = _("You declined our estimate: we work out another one.")
    return declined if sent else _("We are working out your estimate.")


def _in_hand(spec: StageSpec) -> str:
    return stored(spec.owner_words) or _("In hand: %(step)s.") % {"step": stored(spec.name)}


def _next(spec: StageSpec) -> str:
    return _("Next comes: %(step)s.") % {"step": stored(spec.name)}


def _stopped(head: StageStatus) -> list[str]:
    first = next((finding for finding in head.findings if finding.refuses), None)
    return [_(WAITS.get(first.rule, SETTLES))] if first else []


def _airs(finding: Finding, now: datetime) -> list[str]:
    said = [_("It has had %(done)s of its %(n)s days without rain.") % finding.words.values]
    if finding.earliest:
        when = about_when(finding.earliest, now)
        said.append(_("If the days stay dry, it can come in %(when)s.") % {"when": when})
    return said


def _is_drying(work: Work, drying: Drying) -> str:
    return capfirst(_("%(coat)s is drying.") % {"coat": coat_name(work, drying)})


def _is_dry(head: StageStatus, drying: Drying, now: datetime) -> str:
    if drying.at is None:
        return _("The air is too cold or too damp for it just now, so it has to wait.")
    gaps = {"when": about_when(drying.at, now), "dry": _(DRY_ENOUGH[drying.dryness])}
    sure = _("%(when)s it is %(dry)s") if not drying.assumed else _("%(when)s it should be %(dry)s")
    return capfirst(sure % gaps) + _then(head)


def _then(head: StageStatus) -> str:
    left = head.spec.coats - head.record.coats_on
    if head.record.started_at is None or left < 0 or not head.spec.coats:
        return "."
    if left == 0:
        return _(", and this step is done.")
    return _(", then the last coat goes on.") if left == 1 else _(", then the next coat goes on.")
