"""The hours of an estimate: by the route's formulas, by what the shop's own boats took, or as somebody typed them."""

from collections.abc import Iterator, Mapping
from decimal import Decimal

from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from hulls.charging import figure
from hulls.estimate import Because, Currency, Line, hours_line
from shop.stored import stored
from stages.engine.route import Scope, StageSpec
from stages.engine.vocab import Gate
from stages.engine.work import Work
from stages.models import Damage as DamageNames
from stages.planner.hours import USUAL, USUAL_FREEDOM, HoursBelief

TENTH = Decimal("0.1")


def hours_lines(
    work: Work,
    currency: Currency,
    rate: Decimal,
    beliefs: Mapping[str, HoursBelief],
    typed: Mapping[str, Decimal],
    places: Mapping[str, str],
) -> list[Line]:
    """A line for every stage of a hull's plan that asks for hours.

    Parameters
    ----------
    work : Work
        The hull; what was left out or is not in its plan is not charged.
    currency, rate : Currency, Decimal
        Of an hour.
    beliefs : mapping of str to HoursBelief
        By stage, from `stages.queries.learnt_hours.beliefs`.
    typed : mapping of str to Decimal
        By stage, the hours, h, that somebody set by hand; 0 takes the line off.
    places : mapping of str to str
        By kind of damage, where the survey found it.
    """
    found = []
    for spec in work.route.stages:
        if not charged(work, spec):
            continue
        belief = beliefs.get(spec.key, USUAL)
        reckoned = to_tenths(spec.hours(work.scope) * belief.factor)
        hours = typed.get(spec.key, reckoned)
        if hours:
            because = [*came_from(spec, work.scope), *_where(spec, places), *_learnt(belief)]
            if hours != reckoned:
                because.append(Because(what=_("Set by hand, instead of"), value=in_hours(reckoned)))
            found.append(
                hours_line(
                    currency,
                    words=stored(spec.name),
                    hours=hours,
                    rate=rate,
                    key=spec.key,
                    because=because,
                    spread=belief.next_spread,
                )
            )
    return found


def charged(work: Work, spec: StageSpec) -> bool:
    """Whether a stage is work of this hull that an owner pays by the hour."""
    planned = spec.when.holds(work.scope) and not work.state.stage(spec.key).left_out
    return planned and Gate.APPROVED not in spec.gates and spec.hours(work.scope) > 0


def came_from(spec: StageSpec, scope: Scope) -> Iterator[Because]:
    """The parts of a stage's formula that count for a hull."""
    if spec.hours_fixed:
        yield Because(what=_("Setting up and clearing away"), value=in_hours(spec.hours_fixed))
    if spec.counted and spec.hours_each:
        name = str(DamageNames(spec.counted).label)
        count = scope.counts.get(spec.counted, 0)
        yield Because(what=name[:1].upper() + name[1:], value=f"{count} × {in_hours(spec.hours_each)}")
    if spec.hours_per_m2:
        area = figure(Decimal(scope.area_m2), 2)
        yield Because(what=_("Outside of the hull"), value=f"{area} m² × {in_hours(spec.hours_per_m2)}")


def _where(spec: StageSpec, places: Mapping[str, str]) -> Iterator[Because]:
    found = places.get(str(spec.counted)) if spec.counted and spec.hours_each else None
    if found:
        yield Because(what=_("Where, ribs counted from the bow"), value=found)


def _learnt(belief: HoursBelief) -> Iterator[Because]:
    boats = belief.freedom - USUAL_FREEDOM
    if boats:
        what = ngettext("What %(n)s boat of this shop took", "What %(n)s boats of this shop took", boats) % {"n": boats}
        yield Because(what=what, value=f"× {figure(Decimal(belief.factor), 2)}")
    low, high = belief.likely(1.0, 0.1), belief.likely(1.0, 0.9)
    span = f"× {figure(Decimal(low), 2)} – {figure(Decimal(high), 2)}"
    yield Because(what=_("Eight boats in ten lie between"), value=span)


def to_tenths(hours: float) -> Decimal:
    """Hours to a tenth."""
    return Decimal(hours).quantize(TENTH)


def in_hours(hours: float | Decimal) -> str:
    """Hours as people read them."""
    return _("%(n)s h") % {"n": figure(Decimal(hours), 2)}
