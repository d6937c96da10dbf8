"""Dry: the coat underneath has reached the dryness that this step needs, by its dry clock."""

from hulls.wording import gettext_noop
from stages.engine.findings import Ask, Finding, Rule, Words, say
from stages.engine.label import Dryness
from stages.engine.route import StageSpec
from stages.engine.rulebook import find
from stages.engine.state import Coat
from stages.engine.vocab import Action, ProductKind, Severity, Surface
from stages.engine.work import Work

STEPS = {
    Dryness.TACK_FREE: gettext_noop("be moved"),
    Dryness.SAND: gettext_noop("be sanded"),
    Dryness.RECOAT: gettext_noop("take its next coat"),
    Dryness.TOPCOAT: gettext_noop("be covered"),
    Dryness.HANDLE: gettext_noop("be handled"),
}


def base_of(work: Work, surface: Surface, kind: ProductKind) -> Coat | None:
    """The coat that a new one of this kind would lie on; canvas lies on the planking's outermost coat."""
    if kind is ProductKind.CANVAS:
        return work.state.top(Surface.PLANKING)
    return work.state.top(surface)


def dryness_for(work: Work, base: Coat, kind: ProductKind) -> Dryness:
    """How dry a coat must be before another of this kind goes on it."""
    product = work.product(base)
    if product.kind is not kind:
        return Dryness.TOPCOAT
    return Dryness.SAND if product.sand_between else Dryness.RECOAT


def needs_to_start(work: Work, spec: StageSpec) -> list[tuple[Coat | None, Dryness]]:
    """What must be how dry before a stage starts: what the route says, and what its first coat would lie on."""
    needs = [(work.state.top(need.surface), need.dryness) for need in spec.needs]
    if spec.coats and spec.surface and spec.product and not work.state.stage(spec.key).coats_on:
        base = base_of(work, spec.surface, spec.product)
        if base:
            needs.append((base, dryness_for(work, base, spec.product)))
    return needs


def _needs(work: Work, ask: Ask) -> list[tuple[Coat | None, Dryness]]:
    state = work.state
    if ask.action is Action.COAT and ask.surface and ask.product:
        base = base_of(work, ask.surface, ask.product.kind)
        return [(base, dryness_for(work, base, ask.product.kind))] if base else []
    if ask.action is Action.SAND and ask.surface:
        return [(state.top(ask.surface), Dryness.SAND)]
    if ask.action is Action.MOVE:
        return [(state.top(surface), Dryness.TACK_FREE) for surface in Surface]
    if ask.stage is None:
        return []
    if ask.action is Action.START:
        return needs_to_start(work, ask.stage)
    return [(state.top(ask.stage.surface), Dryness.HANDLE)] if ask.stage.surface else []


def _no_base_for_canvas(work: Work, ask: Ask) -> bool:
    if ask.action is not Action.COAT or ask.product is None or ask.product.kind is not ProductKind.CANVAS:
        return False
    base = work.state.top(Surface.PLANKING)
    return base is None or work.product(base).kind not in (ProductKind.OIL, ProductKind.VARNISH)


def _wet(work: Work, ask: Ask, coat: Coat, dryness: Dryness) -> Finding | None:
    reached = work.dry_at(coat, dryness)
    if reached is None or (reached.at is not None and reached.at <= ask.at):
        return None
    values: dict[str, Words | str] = {"product": work.product(coat).name, "step": say(STEPS[dryness])}
    if reached.at is None:
        clears = say(gettext_noop("It stands still in this air. Warm or dry the room, or move the hull."))
    elif work.age(coat, ask.at).assumed_h:
        clears = say(gettext_noop("Wait; part of its time so far is assumed, since readings are missing."))
    else:
        clears = say(gettext_noop("Wait for its dry clock."))
    words = Words(text=gettext_noop("The %(product)s is not dry enough to %(step)s."), values=values)
    moved = Severity.WARNS if ask.action is Action.MOVE else None
    return find(RULE, words, clears, earliest=reached.at, severity=moved)


def _check(work: Work, ask: Ask) -> Finding | None:
    if _no_base_for_canvas(work, ask):
        return find(
            RULE,
            say(gettext_noop("There is no oil or varnish on the planking under the canvas.")),
            say(gettext_noop("Oil or varnish the outside of the bare hull, and let it dry.")),
        )
    found = [_wet(work, ask, coat, dryness) for coat, dryness in _needs(work, ask) if coat]
    wet = [finding for finding in found if finding]
    never = [finding for finding in wet if finding.earliest is None]
    if never:
        return never[0]
    return max(wet, key=lambda f: f.earliest or ask.at, default=None)


RULE = Rule(
    id="dry",
    title=gettext_noop("Dry"),
    holds=gettext_noop("The coat underneath has reached the dryness that this step needs, by its dry clock."),
    actions=frozenset({Action.START, Action.COAT, Action.SAND, Action.FINISH, Action.MOVE}),
    reason=gettext_noop("A coat over a wet one wrinkles, stays soft or lets go; sanding a wet one tears it."),
    source="equivalent age over the air on record, as in the maturity method (ASTM C1074); hours from the label",
    check=_check,
)
