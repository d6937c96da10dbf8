"""A crew that tries anything, in any order, at any time: the state machine of the services."""

from collections.abc import Callable
from datetime import timedelta
from typing import Any, ClassVar
from uuid import UUID, uuid4

from django.db import transaction
from django.utils import timezone
from hypothesis import strategies as st
from hypothesis.stateful import initialize, invariant, precondition, rule

from stages.audit import missing_numbers, of_hull
from stages.engine.assess import StageStatus, assess, headline
from stages.engine.errors import EngineError
from stages.engine.vocab import Action
from stages.models import Entry, HullWork
from stages.planner.listplan import list_plan
from stages.planner.verify import verify
from stages.queries.problem import the_problem
from stages.queries.work import in_work
from stages.queries.world import around
from stages.services import bench, dryness, notes
from stages.services.orders import Hand, Outcome
from tests.at_work import finish
from tests.stages.machines.asking import Asking
from tests.stages.machines.oracle import NEVER_OVERRIDDEN, wrongs
from tests.stages.machines.shop import KEYS, Yard, lines_of

SURFACES = ["planking", "skin", "inside", "brightwork"]
stages = st.sampled_from(KEYS)
surfaces = st.sampled_from(SURFACES)
kinds = st.sampled_from(
    ["oil", "sealer", "varnish", "canvas", "preservative", "latex_filler", "oil_filler", "primer", "enamel"]
)
stations = st.sampled_from(["rack", "strip", "wood", "canvas", "filler", "finishing", "trim", "yard"])
conditions = st.sampled_from(["sound", "flaking", "unknown"])
backs = st.sampled_from([0, 0, 0, 0, 0.25, 3, 20, 50, 200])  # hours by which a line is written down late
boss = st.booleans()
because = st.sampled_from(["", "", "", "", "the customer wants it so"])
Send = Callable[[Hand], Outcome]


class Crew(Asking):
    """Everything that the pages can ask of the services, right or wrong."""

    yard: ClassVar[Yard]

    def __init__(self) -> None:
        super().__init__()
        self.example = transaction.atomic()
        self.example.__enter__()
        self.now = self.yard.since + timedelta(days=10)  # so that lines can be written down late
        self.hull, self.other = self.yard.hulls()
        self.done = {self.hull.pk: 1, self.other.pk: 1}
        self.checked: dict[int, int] = {}
        self.sent: list[tuple[Send, Hand, int]] = []

    def teardown(self) -> None:
        problem = the_problem(around(), timezone.now())
        assert verify(problem, list_plan(problem)) == (), "the shop cannot be planned"
        transaction.set_rollback(True)
        self.example.__exit__(None, None, None)

    # -- what the crew does

    @initialize(
        ribs=st.integers(0, 2),
        brightwork=conditions,
        inside=conditions,
        lead=st.booleans(),
        skip=st.sampled_from(["", "preserve", "prime", "scrape", "top"]),
        steps=st.integers(0, 90),
    )
    def look_it_over_and_begin(
        self, ribs: int, brightwork: str, inside: str, lead: bool, skip: str, steps: int
    ) -> None:
        found = {"brightwork": brightwork, "inside": inside, "planking": "sound"}
        counts = {"ribs": ribs}
        self.send(lambda hand: notes.write_survey(hull_id=self.pk, counts=counts, conditions=found, hand=hand))
        self.send(lambda hand: notes.record_lead_test(hull_id=self.pk, positive=lead, hand=hand))
        rack = next(station.pk for station in self.yard.stations if station.kind == "rack")
        self.send(lambda hand: notes.move_hull(hull_id=self.pk, station=rack, hand=hand))
        self.send(lambda hand: bench.leave_out(hull_id=self.pk, stage=skip, reason="not asked for", hand=hand))
        self.go_on(steps)

    @rule(hours=st.sampled_from([0.5, 2, 5, 17, 25, 49, 75, 200]))
    def wait(self, hours: float) -> None:
        self.now = min(self.now + timedelta(hours=hours), timezone.now())

    @rule(steps=st.integers(1, 8))
    def go_on(self, steps: int) -> None:
        """What a good hand would do: the next step that the shop allows, waiting where it must."""
        for _ in range(steps):
            head = self.head()
            if head is None:
                return
            if not head.hands and head.earliest is not None:
                self.now = min(max(self.now, head.earliest), timezone.now())
                head = self.head()
            if head is not None and head.hands:
                outcome = self.send(self.deed(head))
                assert outcome is not None, f"the engine offered {head.spec.key} {head.next}"
                assert outcome.done, [str(finding.words) for finding in outcome.findings]

    @rule(stage=stages, wet=st.booleans(), back=backs, by=boss, reason=because)
    def start(self, stage: str, wet: bool, **how: Any) -> None:
        self.send(lambda hand: bench.start_stage(hull_id=self.pk, stage=stage, wet_method=wet, hand=hand), **how)

    @rule(stage=stages, kind=kinds, surface=surfaces, back=backs, by=boss, reason=because)
    def coat(self, stage: str, kind: str, surface: str, **how: Any) -> None:
        self.put_on(stage, kind, surface, **how)

    @rule(data=st.data(), back=backs, by=boss, reason=because)
    def coat_what_is_in_hand(self, data: st.DataObject, **how: Any) -> None:
        """A coat that its step asks for, but perhaps much too early."""
        row = self.row()
        in_hand = [s for s in row.route.stages.all() if s.coats and s.key in self.in_hand(row)]
        if in_hand:
            stage = data.draw(st.sampled_from(in_hand))
            self.put_on(stage.key, stage.product_kind, stage.surface, **how)

    def put_on(self, stage: str, kind: str, surface: str, **how: Any) -> None:
        product = next(p.pk for p in self.yard.products.values() if p.kind == kind and p.usual)
        self.send(
            lambda hand: bench.apply_coat(hull_id=self.pk, stage=stage, product=product, surface=surface, hand=hand),
            **how,
        )

    @rule(surface=surfaces, wet=st.booleans(), back=backs, by=boss, reason=because)
    def sand(self, surface: str, wet: bool, **how: Any) -> None:
        self.send(lambda hand: bench.sand(hull_id=self.pk, surface=surface, grit=220, wet_method=wet, hand=hand), **how)

    @rule(surface=surfaces, back=backs)
    def find_it_tacky(self, surface: str, **how: Any) -> None:
        """What the shop learns of it makes its clock slower, never faster: the oracle's hours are the least."""
        self.send(lambda hand: dryness.record_dryness(hull_id=self.pk, surface=surface, seen="tacky", hand=hand), **how)

    @rule(surface=surfaces)
    def find_it_dry_by_mistake(self, surface: str) -> None:
        """It is struck at once, so that nothing is learnt of it."""
        found = self.send(lambda hand: dryness.record_dryness(hull_id=self.pk, surface=surface, seen="dry", hand=hand))
        if found is not None and found.entry is not None:
            number = found.entry.number
            gone = self.send(
                lambda hand: notes.strike_entry(hull_id=self.pk, number=number, reason="another coat", hand=hand)
            )
            assert gone is not None
            assert gone.done

    @rule(stage=stages, back=backs)
    def rags(self, stage: str, **how: Any) -> None:
        self.send(lambda hand: bench.deal_with_rags(hull_id=self.pk, stage=stage, hand=hand), **how)

    @rule(stage=stages, back=backs, by=boss, reason=because)
    def finish(self, stage: str, **how: Any) -> None:
        self.send(lambda hand: finish(hull_id=self.pk, stage=stage, hand=hand), **how)

    @rule(stage=stages, back=backs, by=boss, reason=because)
    def leave_out(self, stage: str, **how: Any) -> None:
        self.send(lambda hand: bench.leave_out(hull_id=self.pk, stage=stage, reason="not asked for", hand=hand), **how)

    @rule(stage=stages, back=backs)
    def put_back(self, stage: str, **how: Any) -> None:
        self.send(lambda hand: bench.put_back(hull_id=self.pk, stage=stage, hand=hand), **how)

    @rule(kind=stations, mine=st.booleans(), back=backs, by=boss, reason=because)
    def move(self, kind: str, mine: bool, **how: Any) -> None:
        to = next(station.pk for station in self.yard.stations if station.kind == kind)
        hull = self.pk if mine else self.other.pk
        self.send(lambda hand: notes.move_hull(hull_id=hull, station=to, hand=hand), hull=hull, **how)

    @rule()
    def let_the_other_in_and_strike_the_move(self) -> None:
        """Where this boat stood before, the other one stands when the move is struck."""
        moves = [line for line in lines_of(self.pk) if line.kind == "moved"]
        if len(moves) > 1:
            to, last, other = moves[-2].details["station"], moves[-1].number, self.other.pk
            self.send(lambda hand: notes.move_hull(hull_id=other, station=to, hand=hand), hull=other)
            self.send(lambda hand: notes.strike_entry(hull_id=self.pk, number=last, reason="wrong", hand=hand))

    @rule(ribs=st.integers(0, 4), surface=st.sampled_from(["brightwork", "inside"]), condition=conditions, back=backs)
    def survey(self, ribs: int, surface: str, condition: str, **how: Any) -> None:
        counts, conditions = {"ribs": ribs}, {surface: condition}
        self.send(
            lambda hand: notes.write_survey(hull_id=self.pk, counts=counts, conditions=conditions, hand=hand), **how
        )

    @rule(count=st.integers(0, 2), back=backs)
    def find(self, count: int, **how: Any) -> None:
        self.send(lambda hand: notes.add_find(hull_id=self.pk, damage="ribs", count=count, hand=hand), **how)

    @rule(positive=st.booleans(), back=backs)
    def test_for_lead(self, positive: bool, **how: Any) -> None:
        self.send(lambda hand: notes.record_lead_test(hull_id=self.pk, positive=positive, hand=hand), **how)

    @rule(from_the_end=st.integers(0, 12), back=backs, by=boss, reason=because)
    def strike(self, from_the_end: int, **how: Any) -> None:
        number = self.done[self.pk] - from_the_end
        self.send(lambda hand: notes.strike_entry(hull_id=self.pk, number=number, reason="wrong", hand=hand), **how)

    @precondition(lambda self: self.sent)
    @rule(data=st.data())
    def send_again(self, data: st.DataObject) -> None:
        """A phone that got no answer sends the same again: the same line comes back."""
        send, hand, number = data.draw(st.sampled_from(self.sent))
        outcome = send(hand)
        assert outcome.repeated
        assert outcome.entry is not None
        assert outcome.entry.number == number

    # -- what must hold after every step

    @invariant()
    def what_is_on_record_holds(self) -> None:
        lines = {pk: lines_of(pk) for pk in self.done}
        for pk, log in lines.items():
            assert [line.number for line in log] == list(range(1, self.done[pk] + 1)), "a line is lost, or one too many"
        if self.done == self.checked:
            return
        self.checked = dict(self.done)
        for log in lines.values():
            assert wrongs(log, self.yard.opinion()) == [], "a stack breaks a rule that nobody set aside"
            self.only_the_owner_sets_a_rule_aside(log)
        self.the_tables_equal_the_log()

    def only_the_owner_sets_a_rule_aside(self, log: list[Entry]) -> None:
        for line in log:
            for item in line.details.get("overrides", ()):
                assert line.by_id == self.yard.owner.pk
                assert item["reason"]
                assert item["rule"] not in NEVER_OVERRIDDEN

    def the_tables_equal_the_log(self) -> None:
        rows = HullWork.objects.select_related("hull", "route").filter(pk__in=self.done)
        assert [str(difference) for row in rows for difference in of_hull(row)] == []
        assert list(missing_numbers()) == []
        stood_on = [(row.station_id, row.place) for row in rows if row.station_id]
        assert len(stood_on) == len(set(stood_on)), "two boats on one place"

    # -- how it is done

    @property
    def pk(self) -> int:
        return self.hull.pk

    def row(self) -> HullWork:
        return HullWork.objects.select_related("hull__owner", "route").get(pk=self.pk)

    def in_hand(self, row: HullWork) -> set[str]:
        return set(row.stage_states.filter(started_at__isnull=False).values_list("stage", flat=True))

    def head(self) -> StageStatus | None:
        return headline(assess(in_work([self.row()], around().world)[0].work, self.now))

    def hand(self, *, back: float = 0, by: bool = False, reason: str = "", client_id: UUID | None = None) -> Hand:
        at = self.now - timedelta(hours=back)
        who = self.yard.owner if by else self.yard.crew
        return Hand(by=who, at=at, client_id=client_id or uuid4(), override=reason, recorded_at=self.now)

    def send(self, send: Send, *, hull: int | None = None, **how: Any) -> Outcome | None:
        hand = self.hand(**how)
        try:
            outcome = send(hand)
        except EngineError:
            return None
        if outcome.entry is not None:
            begun_too = outcome.entry.stage == "hand_over" and outcome.entry.kind == "finished"
            wrote = outcome.entry.number - self.done[hull or self.pk]
            assert wrote == 1 or (begun_too and wrote == 2)
            self.done[hull or self.pk] += wrote
            self.sent.append((send, hand, outcome.entry.number))
        else:
            assert outcome.already is not None or any(finding.refuses for finding in outcome.findings)
        return outcome

    def deed(self, head: StageStatus) -> Send:
        key, spec, surface = head.spec.key, head.spec, str(head.spec.surface)
        match head.next:
            case Action.MOVE:
                assert head.move_to is not None
                to = head.move_to.id
                return lambda hand: notes.move_hull(hull_id=self.pk, station=to, hand=hand)
            case Action.START:
                return lambda hand: bench.start_stage(hull_id=self.pk, stage=key, wet_method=True, hand=hand)
            case Action.COAT:
                product = next(p.pk for p in self.yard.products.values() if p.kind == spec.product and p.usual)
                return lambda hand: bench.apply_coat(
                    hull_id=self.pk, stage=key, product=product, surface=surface, hand=hand
                )
            case Action.SAND:
                return lambda hand: bench.sand(hull_id=self.pk, surface=surface, wet_method=True, grit=220, hand=hand)
            case Action.RAGS:
                return lambda hand: bench.deal_with_rags(hull_id=self.pk, stage=key, hand=hand)
        return lambda hand: finish(hull_id=self.pk, stage=key, hand=hand)
