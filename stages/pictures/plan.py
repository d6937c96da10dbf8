"""The plan of the coming days: a rail a place and a line a person, boats in their colours, on one scale of time."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from datetime import tzinfo

from stages.pictures.timeline import Tick, Timeline

HEAD, GROUP, ROW, FOOT = 22, 30, 40, 22  # px; the style sheet says where things lie within a row
SHEET = 740  # px of the height of a sheet of letter paper that are left for the drawing
PAPER_PCT = (62, 56, 50, 44, 38, 32, 26, 20, 14)  # the style sheet has a rule for each
LEAST_WORDS = 0.055  # of the width: a narrower bar has no room for a tag
LEAST_BAR = 0.0015  # of the width: so that a short sitting can be seen


@dataclass(slots=True, frozen=True, kw_only=True)
class Stretch:
    """What holds a row for a while: somebody's sitting, or a boat's stay on a place with the sittings in it.

    Parameters
    ----------
    boat, says : str
        Its tag, and what is done there in words.
    start_s, end_s : float
        Seconds since 1970 UTC.
    colour : str
        The boat's.
    stays : bool
        Whether it is a stay.
    sittings : tuple of (float, float)
        When hands are at the boat during its stay, seconds since 1970 UTC.
    """

    boat: str
    start_s: float
    end_s: float
    colour: str
    says: str
    stays: bool = False
    sittings: tuple[tuple[float, float], ...] = ()


@dataclass(slots=True, frozen=True, kw_only=True)
class PlanRow:
    """A place or a person, by name, and what holds it."""

    title: str
    stretches: Sequence[Stretch]


@dataclass(slots=True, frozen=True, kw_only=True)
class PlanGroup:
    """A station or the people: its title and its rows."""

    title: str
    rows: Sequence[PlanRow]


@dataclass(slots=True, frozen=True, kw_only=True)
class Piece:
    """A part of a row, in per cent of the width."""

    x: str
    width: str


@dataclass(slots=True, frozen=True, kw_only=True)
class Bar:
    """A stretch as it is drawn; ``lit`` is None where no boat is lit, else whether this is of the one that is."""

    stretch: Stretch
    whole: Piece
    sittings: tuple[Piece, ...]
    words: bool
    lit: bool | None


@dataclass(slots=True, frozen=True, kw_only=True)
class DrawnRow:
    """A row as it is drawn: its title, where it lies, px, and its bars."""

    title: str
    y: int
    bars: tuple[Bar, ...]


@dataclass(slots=True, frozen=True, kw_only=True)
class DrawnGroup:
    """A group as it is drawn."""

    title: str
    y: int
    rows: tuple[DrawnRow, ...]


@dataclass(slots=True, frozen=True, kw_only=True)
class PlanPicture:
    """The whole of it; heights are in px, what lies across in per cent of the width."""

    height: int
    foot: int
    groups: tuple[DrawnGroup, ...]
    shut: tuple[Piece, ...]
    ticks: tuple[Tick, ...]
    now: str | None

    @property
    def paper_pct(self) -> int:
        """How small it is printed so that it fits on one sheet with its words: one of `PAPER_PCT`."""
        return next((pct for pct in PAPER_PCT if self.height * pct <= 100 * SHEET), PAPER_PCT[-1])


def draw_plan(
    timeline: Timeline,
    groups: Iterable[PlanGroup],
    *,
    shut: Iterable[tuple[float, float]],
    now_s: float,
    zone: tzinfo,
    lit: str = "",
) -> PlanPicture:
    """Draw a stretch of the plan.

    Parameters
    ----------
    timeline : Timeline
        From when to when.
    groups : iterable of PlanGroup
        Stations with their places, and the people.
    shut : iterable of (float, float)
        When nobody works, seconds since 1970 UTC.
    now_s : float
        The present, seconds since 1970 UTC.
    zone : tzinfo
        The shop's time zone, by which days begin.
    lit : str
        Tag of the boat whose way through the shop is shown and the others' faded.
    """
    y, drawn = HEAD, []
    for group in groups:
        rows = tuple(
            DrawnRow(title=row.title, y=y + GROUP + number * ROW, bars=_bars(timeline, row, lit))
            for number, row in enumerate(group.rows)
        )
        drawn.append(DrawnGroup(title=group.title, y=y, rows=rows))
        y += GROUP + len(rows) * ROW
    inside = [(a, b) for a, b in shut if _inside(timeline, a, b)]
    return PlanPicture(
        height=y + FOOT,
        foot=y,
        groups=tuple(drawn),
        shut=tuple(_piece(timeline, a, b) for a, b in inside),
        ticks=timeline.ticks(zone),
        now=timeline.pct(now_s) if timeline.holds(now_s) else None,
    )


def _bars(timeline: Timeline, row: PlanRow, lit: str) -> tuple[Bar, ...]:
    seen = [one for one in row.stretches if _inside(timeline, one.start_s, one.end_s)]
    return tuple(
        Bar(
            stretch=one,
            whole=_piece(timeline, one.start_s, one.end_s),
            sittings=tuple(_piece(timeline, *sat) for sat in one.sittings if _inside(timeline, *sat)),
            words=timeline.share(one.end_s) - timeline.share(one.start_s) >= LEAST_WORDS,
            lit=one.boat == lit if lit else None,
        )
        for one in sorted(seen, key=lambda one: one.start_s)
    )


def _inside(timeline: Timeline, start_s: float, end_s: float) -> bool:
    return end_s > timeline.start_s and start_s < timeline.end_s


def _piece(timeline: Timeline, start_s: float, end_s: float) -> Piece:
    least_s = LEAST_BAR * timeline.length_s
    return Piece(x=timeline.pct(start_s), width=timeline.width(start_s, max(end_s, start_s + least_s)))


def joined(stretches: Iterable[Stretch], gap_s: float) -> tuple[Stretch, ...]:
    """Stretches of one boat that follow within a gap, made one without its sittings: for a month at a glance."""
    found: list[Stretch] = []
    for one in sorted(stretches, key=lambda one: (one.start_s, one.end_s)):
        last = found[-1] if found else None
        if last is not None and last.boat == one.boat and one.start_s - last.end_s <= gap_s:
            says = last.says if one.says in last.says else f"{last.says}, {one.says}"
            found[-1] = replace(last, end_s=max(last.end_s, one.end_s), says=says)
        else:
            found.append(replace(one, sittings=()))
    return tuple(found)
