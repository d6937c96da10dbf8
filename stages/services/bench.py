"""Work on stages: start, coat, sand, rags, finish, leave out, put back."""

from stages.engine.errors import EngineError
from stages.engine.findings import Ask, gettext_noop
from stages.engine.log import EntryKind, LogEntry
from stages.engine.route import StageSpec
from stages.engine.vocab import Action, Surface
from stages.models import Entry
from stages.services.orders import Hand, Line, Outcome
from stages.services.record import Desk, record

REASON_LENGTH = 400


def start_stage(*, hull_id: int, stage: str, hand: Hand, wet_method: bool = False) -> Outcome:
    """Put a stage on the bench; refused by the rules on order, place, dryness and lead."""

    def plan(desk: Desk) -> tuple[Line, Ask | None] | Outcome:
        spec = spec_of(desk, stage)
        if desk.work.state.stage(stage).started_at and desk.work.open(spec):
            return _already(desk, EntryKind.STARTED, stage)
        ask = Ask(action=Action.START, at=hand.at, stage=spec, wet_method=wet_method)
        return Line(kind=EntryKind.STARTED, stage=stage, details={"wet_method": wet_method}), ask

    return record(hull_id=hull_id, hand=hand, plan=plan)


def apply_coat(
    *, hull_id: int, stage: str, product: int, surface: str, hand: Hand, zone: int | None = None, lot: str = ""
) -> Outcome:
    """Record a coat on a surface of the hull.

    Parameters
    ----------
    product : int
        The product's number.
    surface : str
        Where it went on; must be a surface that hulls have.
    zone : int, optional
        The air that it dries in; where the hull stands when left out.
    lot : str
        Pot or lot.

    Raises
    ------
    EngineError
        For a product that the shop has not, or a surface that the hull lacks.
    """

    def plan(desk: Desk) -> tuple[Line, Ask | None] | Outcome:
        spec = spec_of(desk, stage)
        chosen = desk.work.world.products.get(product)
        if chosen is None:
            raise EngineError("product", gettext_noop("The shop has no such product."))
        if surface not in set(Surface):
            raise EngineError("surface", gettext_noop("This hull has no such surface."))
        air = zone if zone is not None else _zone_of(desk)
        where = Surface(surface)
        ask = Ask(action=Action.COAT, at=hand.at, stage=spec, product=chosen, surface=where, zone=air)
        details = {"product": product, "surface": str(where), "zone": air, "lot": lot}
        if chosen.self_heating:
            details["self_heating"] = True
        return Line(kind=EntryKind.COAT, stage=stage, details=details), ask

    return record(hull_id=hull_id, hand=hand, plan=plan)


def sand(
    *, hull_id: int, surface: str, hand: Hand, stage: str = "", grit: int | None = None, wet_method: bool = False
) -> Outcome:
    """Record that the top of a surface was sanded; old finish with lead only by the wet method."""

    def plan(desk: Desk) -> tuple[Line, Ask | None] | Outcome:
        if surface not in set(Surface):
            raise EngineError("surface", gettext_noop("This hull has no such surface."))
        if grit is not None and not 24 <= grit <= 3000:
            raise EngineError("grit", gettext_noop("Grit runs from 24 to 3000."))
        spec = spec_of(desk, stage) if stage else None
        ask = Ask(action=Action.SAND, at=hand.at, stage=spec, surface=Surface(surface), wet_method=wet_method)
        details = {"surface": surface, "grit": grit, "wet_method": wet_method}
        return Line(kind=EntryKind.SANDED, stage=stage, details=details), ask

    return record(hull_id=hull_id, hand=hand, plan=plan)


def deal_with_rags(*, hull_id: int, stage: str, hand: Hand, how: str = "") -> Outcome:
    """Record that the oily rags of a stage were spread to dry or drowned."""

    def plan(desk: Desk) -> tuple[Line, Ask | None] | Outcome:
        spec_of(desk, stage)
        return Line(kind=EntryKind.RAGS, stage=stage, details={"how": how}), None

    return record(hull_id=hull_id, hand=hand, plan=plan)


def finish_stage(*, hull_id: int, stage: str, hand: Hand) -> Outcome:
    """Finish a stage; refused by the rules on coats, dryness, rags, outdoors and topped."""

    def plan(desk: Desk) -> tuple[Line, Ask | None] | Outcome:
        spec = spec_of(desk, stage)
        if desk.work.state.stage(stage).finished_at:
            return _already(desk, EntryKind.FINISHED, stage)
        return Line(kind=EntryKind.FINISHED, stage=stage), Ask(action=Action.FINISH, at=hand.at, stage=spec)

    return record(hull_id=hull_id, hand=hand, plan=plan)


def leave_out(*, hull_id: int, stage: str, reason: str, hand: Hand) -> Outcome:
    """Leave a stage out of this hull's plan, with a reason that stays on record."""

    def plan(desk: Desk) -> tuple[Line, Ask | None] | Outcome:
        spec_of(desk, stage)
        if desk.work.state.stage(stage).finished_at:
            return _already(desk, EntryKind.FINISHED, stage)
        return Line(kind=EntryKind.LEFT_OUT, stage=stage, details={"reason": checked_reason(reason)}), None

    return record(hull_id=hull_id, hand=hand, plan=plan)


def put_back(*, hull_id: int, stage: str, hand: Hand) -> Outcome:
    """Put a stage that was left out back into the plan."""

    def plan(desk: Desk) -> tuple[Line, Ask | None] | Outcome:
        spec_of(desk, stage)
        return Line(kind=EntryKind.PUT_BACK, stage=stage), None

    return record(hull_id=hull_id, hand=hand, plan=plan)


def spec_of(desk: Desk, stage: str) -> StageSpec:
    """The stage of the hull's route by its key.

    Raises
    ------
    EngineError
        When the route has no such stage.
    """
    spec = desk.work.route.by_key.get(stage)
    if spec is None:
        raise EngineError("stage", gettext_noop("This hull's route has no such step."))
    return spec


def checked_reason(reason: str) -> str:
    """A reason, trimmed.

    Raises
    ------
    EngineError
        When it is empty or too long.
    """
    reason = reason.strip()
    if not reason:
        raise EngineError("reason", gettext_noop("Write the reason; it stays on record."))
    if len(reason) > REASON_LENGTH:
        raise EngineError("reason", gettext_noop("Keep the reason under 400 letters."))
    return reason


def _zone_of(desk: Desk) -> int:
    stay = desk.work.state.stay
    if stay is None or stay.zone is None:
        raise EngineError("zone", gettext_noop("The hull stands nowhere on the floor. Move it to a station first."))
    return stay.zone


def _already(desk: Desk, kind: EntryKind, stage: str) -> Outcome:
    line: LogEntry | None = desk.last(kind, stage)
    done = Entry.objects.select_related("by").get(hull_id=desk.row.pk, number=line.id) if line else None
    return Outcome(already=done)
