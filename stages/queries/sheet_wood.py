"""The wood of one hull on its sheet: its last moisture readings, what the air does to them, and when it is dry."""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime

from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from stages.engine.findings import Ask
from stages.engine.route import StageSpec
from stages.engine.rules.wood import drying, limit_pct, since_wet
from stages.engine.vocab import Action
from stages.engine.wood import DryingEstimate
from stages.engine.work import Work
from stages.saying import when

SHOWN = 3
AS_DRY = 0.5  # %; nearer to what the air tends to than this, the wood has come there


@dataclass(frozen=True, slots=True, kw_only=True)
class WoodWords:
    """What the air does to a hull's wood, in a sentence or two; and its last readings, the latest first."""

    says: str
    readings: tuple[str, ...]


def wood_of(work: Work, now: datetime) -> WoodWords | None:
    """Tell of a hull's wood; None where nobody measured it since it was last wet, or no step to come cares for it."""
    readings, asks = since_wet(work), next(asking(work, now), None)
    if not readings or work.state.handed_over_at is not None or not (asks or _is_wetted_again(work)):
        return None
    estimate = drying(work, asks[1] if asks else work.world.wood.varnish_pct)
    last = readings[-1].moisture_pct
    says = [_tends(estimate, last)] if estimate else []
    if asks:
        says.append(_comes_down(*asks, last, estimate, now))
    return WoodWords(
        says=" ".join(says),
        readings=tuple(
            ", ".join(filter(None, (f"{reading.moisture_pct:g} %", reading.spot, when(reading.at, now))))
            for reading in reversed(readings[-SHOWN:])
        ),
    )


def asking(work: Work, now: datetime) -> Iterator[tuple[StageSpec, float]]:
    """The open steps that ask for dry wood, each with its limit, %; none past a step that wets it again."""
    for spec in work.route.stages:
        if not work.open(spec):
            continue
        limits = [limit_pct(work, ask) for ask in _asks(work, spec, now)]
        limit = min((limit for limit in limits if limit is not None), default=None)
        if limit is not None:
            yield spec, limit
        if spec.strips:
            return


def _is_wetted_again(work: Work) -> bool:
    return any(spec.strips and work.open(spec) for spec in work.route.stages)


def _asks(work: Work, spec: StageSpec, now: datetime) -> Iterator[Ask]:
    """What hands still ask of a step: to start it, and to put a coat on."""
    record = work.state.stage(spec.key)
    if record.started_at is None:
        yield Ask(action=Action.START, at=now, stage=spec)
    if spec.product and spec.surface and record.coats_on < spec.coats:
        product = work.world.usual_product(spec.product)
        yield Ask(action=Action.COAT, at=now, stage=spec, product=product, surface=spec.surface)


def _tends(estimate: DryingEstimate, last: float) -> str:
    words = {"is": f"{last:g}", "emc": f"{estimate.emc_pct:.0f}", "off": f"{abs(estimate.over_emc_pct):.0f}"}
    if abs(estimate.over_emc_pct) < AS_DRY:
        return _("At %(is)s %% the wood has come to what the air where it stands tends to.") % words
    if estimate.over_emc_pct < 0:
        return _("The wood held %(is)s %%; the air where it stands tends to %(emc)s %%, %(off)s more.") % words
    return _("The wood held %(is)s %%; the air where it stands tends to %(emc)s %%, %(off)s less.") % words


def _comes_down(spec: StageSpec, limit: float, last: float, estimate: DryingEstimate | None, now: datetime) -> str:
    """When the wood is likely under the limit of the step that asks next."""
    words: dict[str, object] = {"limit": f"{limit:g}", "step": spec.name}
    if last <= limit:
        return _("“%(step)s” asks for at most %(limit)s %%: it is dry enough.") % words
    if estimate is None:
        return _("“%(step)s” asks for at most %(limit)s %%.") % words
    if estimate.likely is None:
        return _("“%(step)s” asks for at most %(limit)s %%: in this air it will not come so low.") % words
    if estimate.likely <= now:
        return _("“%(step)s” asks for at most %(limit)s %%: it should be there by now, so measure it again.") % words
    words |= {"likely": when(estimate.likely, now), "band": _band(estimate, now), "rough": _rough(estimate)}
    return _("“%(step)s” asks for at most %(limit)s %%: likely %(likely)s%(band)s%(rough)s.") % words


def _band(estimate: DryingEstimate, now: datetime) -> str:
    early = when(max(estimate.early, now), now) if estimate.early else ""
    if estimate.late is None:
        return _(", not before %(early)s and perhaps not at all") % {"early": early}
    return _(", between %(early)s and %(late)s") % {"early": early, "late": when(estimate.late, now)}


def _rough(estimate: DryingEstimate) -> str:
    if not estimate.rough:
        return ""
    words = ngettext(", a rough guess from %(n)s reading", ", a rough guess from %(n)s readings", estimate.readings)
    return words % {"n": estimate.readings}
