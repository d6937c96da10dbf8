"""Work on stages: start, coat, sand, rags, finish, leave out, put back."""

from datetime import datetime
from typing import Any

from hulls.wording import gettext_noop
from stages.engine.errors import EngineError
from stages.engine.findings import Ask
from stages.engine.log import EntryKind
from stages.engine.vocab import Action, Gate, Surface
from stages.services.desk import Desk, already
from stages.services.drawing import pour
from stages.services.orders import Hand, Line, Outcome
from stages.services.record import record
from stages.services.texts import checked_reason, checked_text

MOST_HOURS = 1000.0


def start_stage(*, hull_id: int, stage: str, hand: Hand, wet_method: bool = False) -> Outcome:
    """Put a stage on the bench; refused by the rules on order, place, dryness and lead."""

    def plan(desk: Desk) -> tuple[Line, Ask | None] | Outcome:
        spec = desk.spec(stage)
        if desk.work.state.stage(stage).started_at and desk.work.open(spec):
            return already(desk, EntryKind.STARTED, stage)
        ask = Ask(action=Action.START, at=hand.at, stage=spec, wet_method=wet_method)
        return Line(kind=EntryKind.STARTED, stage=stage, details={"wet_method": wet_method}), ask

    return record(hull_id=hull_id, hand=hand, plan=plan)


def apply_coat(
    *,
    hull_id: int,
    stage: str,
    product: int,
    surface: str,
    hand: Hand,
    zone: int | None = None,
    lot: str = "",
    litres: float | None = None,
    amount: float | None = None,
    measured: bool = True,
    from_lot: int | None = None,
) -> Outcome:
    """Record a coat on a surface of the hull.

    Parameters
    ----------
    product : int
        The product's number.
    surface : str
        Where it went on; must be a surface that hulls have.
    zone : int, optional
        The air that it dries in; needed only where the hull stands at no station.
    lot : str
        Pot or lot.
    litres : float, optional
        What was used of the pot, thinner and all; solvent vapour is reckoned from it.
    amount : float, optional
        What was used of a product that is not counted in litres, in its unit.
    measured : bool
        Whether somebody measured that; False where a proposal was left as it was.
    from_lot : int, optional
        The can of the stores to take from first. Whatever is not told, the stores are drawn from all the same.

    Raises
    ------
    EngineError
        For a product that the shop has not, a surface that the hull lacks, a zone where it does not stand, more
        litres than a hull takes, or a can that is empty or out of date.
    """

    def plan(desk: Desk) -> tuple[Line, Ask | None] | Outcome:
        spec = desk.spec(stage)
        chosen = desk.work.world.products.get(product)
        if chosen is None:
            raise EngineError("product", gettext_noop("The shop has no such product."))
        if surface not in set(Surface):
            raise EngineError("surface", gettext_noop("This hull has no such surface."))
        air = _air_of(desk, hand.at, zone)
        used = litres if chosen.unit == "L" else amount
        drawn = pour(
            desk,
            hand,
            chosen,
            spec,
            Surface(surface),
            amount=used,
            measured=measured and used is not None,
            from_lot=from_lot,
        )
        pot = checked_text(lot, "lot", 40, empty=True) or next((draw.lot.label for draw in drawn.draws), "")
        details: dict[str, Any] = {
            "product": product,
            "kind": str(chosen.kind),
            "surface": surface,
            "zone": air,
            "lot": pot,
            **drawn.details,
        }
        if chosen.self_heating:
            details["self_heating"] = True
        ask = Ask(
            action=Action.COAT,
            at=hand.at,
            stage=spec,
            product=chosen,
            surface=Surface(surface),
            zone=air,
            amount=drawn.amount,
            stock=drawn.stock,
        )
        return Line(kind=EntryKind.COAT, stage=stage, details=details, draws=drawn.draws), ask

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
        spec = desk.spec(stage) if stage else None
        ask = Ask(action=Action.SAND, at=hand.at, stage=spec, surface=Surface(surface), wet_method=wet_method)
        details = {"surface": surface, "grit": grit, "wet_method": wet_method}
        return Line(kind=EntryKind.SANDED, stage=stage, details=details), ask

    return record(hull_id=hull_id, hand=hand, plan=plan)


def deal_with_rags(*, hull_id: int, stage: str, hand: Hand, how: str = "") -> Outcome:
    """Record that the oily rags of a stage were spread to dry or drowned."""

    def plan(desk: Desk) -> tuple[Line, Ask | None] | Outcome:
        desk.spec(stage)
        details = {"how": checked_text(how, "how", 200, empty=True)}
        return Line(kind=EntryKind.RAGS, stage=stage, details=details), None

    return record(hull_id=hull_id, hand=hand, plan=plan)


def finish_stage(*, hull_id: int, stage: str, hand: Hand, hours: float | None = None) -> Outcome:
    """Finish a stage; refused by the rules on coats, dryness, rags, outdoors, topped and approved.

    Parameters
    ----------
    hours : float, optional
        Hours of work that it took since it was last finished, h; the shop's estimates learn from them.

    Raises
    ------
    EngineError
        For hours that nobody works; for the step by which a boat goes home, which `hand_over` alone finishes.
    """
    details = checked_hours(hours)

    def plan(desk: Desk) -> tuple[Line, Ask | None] | Outcome:
        spec = desk.spec(stage)
        if desk.work.state.stage(stage).finished_at:
            return already(desk, EntryKind.FINISHED, stage)
        if Gate.HAND_OVER in spec.gates:
            raise EngineError("stage", gettext_noop("A boat goes home by its hand-over, where somebody signs for it."))
        line = Line(kind=EntryKind.FINISHED, stage=stage, details=details)
        return line, Ask(action=Action.FINISH, at=hand.at, stage=spec)

    return record(hull_id=hull_id, hand=hand, plan=plan)


def checked_hours(hours: float | None) -> dict[str, float]:
    """Hours as the line of a finish holds them; nothing where nobody told any.

    Raises
    ------
    EngineError
        For hours that nobody works.
    """
    if hours is None:
        return {}
    if not 0.0 < hours <= MOST_HOURS:
        raise EngineError("hours", gettext_noop("Hours run from over 0 to 1000."))
    return {"hours": hours}


def leave_out(*, hull_id: int, stage: str, reason: str, hand: Hand) -> Outcome:
    """Leave a stage out of this hull's plan, with a reason that stays on record; refused by the rule on rags.

    Raises
    ------
    EngineError
        Without a reason; for the step by which a boat goes home: without it the boat would never leave.
    """

    def plan(desk: Desk) -> tuple[Line, Ask | None] | Outcome:
        spec, record = desk.spec(stage), desk.work.state.stage(stage)
        if record.finished_at:
            return already(desk, EntryKind.FINISHED, stage)
        if record.left_out:
            return already(desk, EntryKind.LEFT_OUT, stage)
        if Gate.HAND_OVER in spec.gates:
            raise EngineError("stage", gettext_noop("Every boat leaves by its hand-over: that is never left out."))
        line = Line(kind=EntryKind.LEFT_OUT, stage=stage, details={"reason": checked_reason(reason)})
        return line, Ask(action=Action.LEAVE_OUT, at=hand.at, stage=spec)

    return record(hull_id=hull_id, hand=hand, plan=plan)


def put_back(*, hull_id: int, stage: str, hand: Hand) -> Outcome:
    """Put a stage that was left out back into the plan.

    Raises
    ------
    EngineError
        When it never was left out.
    """

    def plan(desk: Desk) -> tuple[Line, Ask | None] | Outcome:
        desk.spec(stage)
        if not desk.work.state.stage(stage).left_out:
            if desk.last(EntryKind.PUT_BACK, stage):
                return already(desk, EntryKind.PUT_BACK, stage)
            raise EngineError("stage", gettext_noop("This step was not left out."))
        return Line(kind=EntryKind.PUT_BACK, stage=stage), None

    return record(hull_id=hull_id, hand=hand, plan=plan)


def _air_of(desk: Desk, at: datetime, told: int | None) -> int:
    """The zone in which a coat of that moment dried: where the hull stood, or what was told where it stood nowhere."""
    stay = desk.as_of(at).state.stay
    if stay is not None and stay.zone is not None:
        if told is not None and told != stay.zone:
            raise EngineError("zone", gettext_noop("The hull stood elsewhere at that time. Record the move first."))
        return stay.zone
    if told is None:
        raise EngineError("zone", gettext_noop("The hull stands nowhere on the floor. Move it to a station first."))
    if told not in {station.zone for station in desk.work.world.stations.values()}:
        raise EngineError("zone", gettext_noop("The shop has no such zone."))
    return told
