"""A hull whose log grows line by line, judged as the shop would: the engine alone, without a database."""

from stages.engine.findings import Finding
from stages.engine.log import LogEntry
from stages.engine.replay import replay
from stages.engine.route import Route, StageSpec
from stages.engine.rules import judge
from stages.engine.standing import ask_of
from stages.engine.state import HullState
from stages.engine.vocab import Gate, ProductKind, Surface
from stages.engine.work import Work
from stages.engine.world import World
from tests.stages.engine.trade import CHOICES, INDOORS, ON, a_line, a_route, a_stage, a_world, product

HAND_OVER = a_stage("hand_over", gates=frozenset({Gate.HAND_OVER}))


def coats_of(kind: ProductKind) -> StageSpec:
    """A stage that asks for one coat of a kind, and minds neither order nor place."""
    return a_stage(kind, coats=1, product=kind, surface=ON.get(kind, Surface.SKIN))


class Job:
    """One hull at the bench, from bare wood; every stage is in hand, hours are counted from nine on a Thursday."""

    def __init__(self, *, route: Route | None = None, world: World | None = None) -> None:
        self.route = route or a_route(*map(coats_of, ProductKind), HAND_OVER)
        self.world = world or a_world()
        self.log: list[LogEntry] = [a_line(1, "arrived", -24.0)]
        for spec in self.route.stages:
            self.note("started", -24.0, spec.key)

    @property
    def state(self) -> HullState:
        """What the log adds up to."""
        return replay(self.route, self.log)

    @property
    def work(self) -> Work:
        """The hull in its shop."""
        return Work(tag="H-1", route=self.route, state=self.state, world=self.world, choices=CHOICES)

    def note(self, kind: str, hour: float, stage: str = "", **details: object) -> None:
        """Write a line that no rule is asked about."""
        self.log.append(a_line(len(self.log) + 1, kind, hour, stage, **details))

    def try_to(self, kind: str, hour: float, stage: str = "", **details: object) -> dict[str, Finding]:
        """Write a line if nothing refuses it; give what does."""
        entry = a_line(len(self.log) + 1, kind, hour, stage, **details)
        ask = ask_of(self.work, entry)
        assert ask is not None
        found = {finding.rule: finding for finding in judge(self.work, ask) if finding.refuses}
        if not found:
            self.log.append(entry)
        return found

    def coat(self, kind: str, hour: float, *, on: str = "", zone: int = INDOORS) -> dict[str, Finding]:
        """Put a coat of the usual product of a kind on."""
        surface = on or str(ON.get(ProductKind(kind), Surface.SKIN))
        used = product(kind)
        heats = {"self_heating": True} if used.self_heating else {}
        return self.try_to("coat", hour, kind, product=used.id, surface=surface, zone=zone, **heats)

    def sand(self, surface: str, hour: float, *, wet: bool = False) -> dict[str, Finding]:
        """Sand the top of a surface."""
        return self.try_to("sanded", hour, surface=surface, grit=220, wet_method=wet)

    def finish(self, stage: str, hour: float) -> dict[str, Finding]:
        """Finish a stage."""
        return self.try_to("finished", hour, stage)

    def move(self, station: int, hour: float) -> dict[str, Finding]:
        """Move to a station."""
        to = self.world.stations[station]
        return self.try_to("moved", hour, station=to.id, place=1, zone=to.zone)
