"""A second opinion on a log: what no stack of coats may ever be, written down again without the shop's engine.

It reads the lines of one hull as they stand in the database and reckons in plain hours, since the air of the tests is
the labels' own. What it knows of the trade is common practice, no published source; it imports nothing of the engine.
"""

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from datetime import date, datetime, timedelta
from typing import Any

from shop.models import Product
from stages.models import Entry, RouteStage

HOUR = timedelta(hours=1)
A_SECOND_H = 1 / 3600
NEVER_OVERRIDDEN = {"lead", "rags"}
COVERED = ("topcoat_h", "sand_h", "recoat_h")  # where a label is silent, the next one stands in
WORK = {"started", "coat", "sanded", "finished"}  # waits where an open change order touches its stage
TELLING = {"note", "photo", "link", "strike", "seen"}
MAY_LIE_ON = {
    "preservative": {"canvas", "preservative", "oil"},
    "latex_filler": {"canvas", "preservative", "latex_filler", "oil"},
    "oil_filler": {"canvas", "preservative", "oil_filler", "oil"},
    "primer": {"canvas", "preservative", "latex_filler", "oil_filler", "primer", "oil"},
    "oil": {"oil"},
    "enamel": {"canvas", "preservative", "latex_filler", "oil_filler", "primer", "enamel", "oil"},
    "sealer": {"canvas", "preservative", "latex_filler", "oil_filler", "primer", "enamel", "sealer", "oil"},
    "varnish": {
        *("canvas", "preservative", "latex_filler", "oil_filler", "primer", "enamel", "sealer", "varnish", "oil"),
    },
    "canvas": set(),
}


@dataclass
class Layer:
    """A coat as the oracle remembers it."""

    product: Product
    at: datetime
    zone: int
    stage: str
    sanded: bool = False


@dataclass
class Opinion:
    """The shop's facts, and what the lines add up to so far."""

    products: Mapping[int, Product]
    stages: Mapping[str, RouteStage]
    before: Mapping[str, set[str]]
    stations: Mapping[int, str]
    outdoors: set[int]
    dry_days: set[date]
    ribs: int = 0
    lead: bool | None = None
    old: dict[str, str] = field(default_factory=dict)
    old_sanded: set[str] = field(default_factory=set)
    stacks: dict[str, list[Layer]] = field(default_factory=dict)
    started: set[str] = field(default_factory=set)
    finished: set[str] = field(default_factory=set)
    left_out: set[str] = field(default_factory=set)
    coats_on: dict[str, int] = field(default_factory=dict)
    rags: set[str] = field(default_factory=set)
    moves: list[tuple[datetime, int]] = field(default_factory=list)
    asked: dict[str, list[str]] = field(default_factory=dict)

    def top(self, surface: str) -> Layer | None:
        """The outermost coat."""
        return self.stacks[surface][-1] if self.stacks.get(surface) else None

    def open_before(self, stage: str) -> set[str]:
        """Stages before one that are in the plan and not over."""
        return {key for key in self.before[stage] if key not in self.over and self.in_plan(key)}

    def in_plan(self, stage: str) -> bool:
        """Whether the survey asks for a stage."""
        if stage == "scrape":
            return self.old.get("brightwork") == "flaking"
        return stage != "ribs" or self.ribs > 0

    @property
    def over(self) -> set[str]:
        """Stages that nobody waits for any more."""
        return self.finished | self.left_out


def wrongs(entries: Iterable[Entry], opinion: Opinion) -> list[str]:
    """Whatever is wrong with a log and was not overridden on the line itself, as "line rule"."""
    lines = list(entries)
    struck = {line.details["entry"] for line in lines if line.kind == "strike"}
    in_force = [line for line in lines if line.kind != "strike" and line.number not in struck]
    found = [*after_the_end(lines), *at_the_wrong_station(lines, opinion), *tried_wrong(lines)]
    gone_at = [line.at for line in in_force if line.kind == "finished" and line.stage == "hand_over"]
    found += [f"{line.number} after hand-over" for line in in_force if gone_at and works(line) and line.at > gone_at[0]]
    for line in sorted(in_force, key=lambda line: (line.at, line.number)):
        set_aside = {item["rule"] for item in line.details.get("overrides", ())}
        asked = ASKS.get(line.kind)
        broken = set(asked(opinion, line)) if asked else set()
        if line.kind in WORK and any(line.stage in stages for stages in opinion.asked.values()):
            broken.add("approved")
        found += [f"{line.number} {rule}" for rule in sorted(broken - (set_aside - NEVER_OVERRIDDEN))]
        remember(opinion, line)
    return found


def tried_wrong(lines: list[Entry]) -> Iterator[str]:
    """Trials of another coat than the outermost by what was on record, or with other hours than those on the wall."""
    for line in (line for line in lines if line.kind == "seen"):
        tell, known = line.details, [other for other in lines if other.number < line.number]
        struck = {other.details["entry"] for other in known if other.kind == "strike"}
        coats = [
            other for other in known if other.kind == "coat" and other.number not in struck and other.at <= line.at
        ]
        here = [coat for coat in coats if coat.details["surface"] == tell["surface"]]
        last = max(here, key=lambda coat: (coat.at, coat.number), default=None)
        if last is None or (last.number, last.details["product"]) != (tell["coat"], tell["product"]):
            yield f"{line.number} tried another coat"
        elif abs(hours_between(last.at, line.at) - tell["age_h"]) > 2 * A_SECOND_H:
            yield f"{line.number} tried at another age"


def at_the_wrong_station(lines: list[Entry], held: Opinion) -> Iterator[str]:
    """Work that began elsewhere than at a station of its kind, by what was on record when it was written down."""
    for line in lines:
        wanted = held.stages[line.stage].station_kind if line.kind in ("started", "coat") else ""
        known = [other for other in lines if other.number < line.number]
        struck = {other.details["entry"] for other in known if other.kind == "strike"}
        moves = [other for other in known if other.kind == "moved" and other.number not in struck]
        before = sorted((m.at, m.number, m.details["station"]) for m in moves if m.at <= line.at)
        set_aside = {item["rule"] for item in line.details.get("overrides", ())}
        if wanted and "place" not in set_aside and not (before and held.stations[before[-1][2]] == wanted):
            yield f"{line.number} place"


def works(line: Entry) -> bool:
    """Whether a line is work on the boat, and not a note or a photo."""
    return line.kind not in TELLING


def after_the_end(lines: list[Entry]) -> Iterator[str]:
    """Work that was written down while the boat was handed over."""
    gone: set[int] = set()
    for line in lines:
        if gone and works(line):
            yield f"{line.number} handed over"
        if line.kind == "finished" and line.stage == "hand_over":
            gone.add(line.number)
        if line.kind == "strike":
            gone.discard(line.details["entry"])


def hours_between(earlier: datetime, later: datetime) -> float:
    """Hours on the wall, which are hours of the label in the labels' own air."""
    return (later - earlier) / HOUR


def label_hours(product: Product, *names: str) -> float:
    """The first of these hours that the label gives."""
    return next((getattr(product, name) for name in names if getattr(product, name)), 0.0)


def too_wet(layer: Layer, at: datetime, *names: str) -> bool:
    """Whether a coat is younger than its label asks for."""
    return hours_between(layer.at, at) < label_hours(layer.product, *names) - A_SECOND_H


def ask_coat(held: Opinion, line: Entry) -> Iterator[str]:
    """What is wrong with a coat."""
    product, surface = held.products[line.details["product"]], line.details["surface"]
    stage = held.stages[line.stage]
    if line.stage not in held.started or line.stage in held.over or held.open_before(line.stage):
        yield "order"
    if (product.kind, surface) != (stage.product_kind, stage.surface):
        yield "coats"
    yield from where(held, line, product)
    base = held.top("planking" if product.kind == "canvas" else surface)
    if product.kind == "canvas":
        if base is None or base.product.kind not in ("oil", "varnish") or too_wet(base, line.at, *COVERED):
            yield "dry"
        if held.top("skin") or "skin" in held.old:
            yield "coats"
    elif base is None:
        yield from first_coat(held, surface)
    else:
        yield from next_coat(held, line, product, base)
    if held.old.get(surface) == "flaking":
        yield "sound_base"


def where(held: Opinion, line: Entry, product: Product) -> Iterator[str]:
    """Preservative outdoors, latex filler indoors, and nothing on preservative that has not aired."""
    outside = line.details["zone"] in held.outdoors
    if (product.kind == "preservative" and not outside) or (product.kind == "latex_filler" and outside):
        yield "outdoors"
    if line.details["surface"] == "skin" and product.kind != "preservative" and not aired(held, line.at):
        yield "outdoors"


def aired(held: Opinion, at: datetime) -> bool:
    """Whether there is no bare preservative, or it has had its five dry days that began outdoors."""
    top = held.top("skin")
    if top is None or top.product.kind != "preservative":
        return True
    days, day = 0, top.at.date() + timedelta(days=1)
    while day <= at.date():
        midnight = datetime.combine(day, datetime.min.time(), tzinfo=top.at.tzinfo)
        zone = [top.zone, *(zone for since, zone in held.moves if top.at <= since <= midnight)][-1]
        days += zone in held.outdoors and day in held.dry_days
        day += timedelta(days=1)
    return days >= 5


def first_coat(held: Opinion, surface: str) -> Iterator[str]:
    """On bare wood, or on an old finish that is sanded; on the skin only where there is an old one."""
    if surface == "skin" and "skin" not in held.old:
        yield "coats"
    if held.old.get(surface, "flaking") != "flaking" and surface not in held.old_sanded:
        yield "sand_between"


def next_coat(held: Opinion, line: Entry, product: Product, base: Layer) -> Iterator[str]:
    """On a coat that is dry, sanded where it must be, and of a kind that this one may lie on."""
    under = base.product
    if under.kind != product.kind:
        wet = too_wet(base, line.at, *COVERED)
    else:
        wet = too_wet(base, line.at, "sand_h", "recoat_h") if under.sand_between else too_wet(base, line.at, "recoat_h")
    if wet:
        yield "dry"
    shut = under.window_h and hours_between(base.at, line.at) > under.window_h + A_SECOND_H
    if not base.sanded and (under.sand_between or (shut and not under.smoothed_wet)):
        yield "sand_between"
    if under.kind not in MAY_LIE_ON[product.kind]:
        yield "coats"
    if under.kind == "latex_filler" and product.oil_based and product.kind != "primer":
        yield "bridge"


def ask_sanded(held: Opinion, line: Entry) -> Iterator[str]:
    """Lead under the paper, latex filler, or a wet coat."""
    surface = line.details["surface"]
    top = held.top(surface)
    if top is None and surface in held.old and lead_forbids(held, line):
        yield "lead"
    if top is not None and top.product.smoothed_wet:
        yield "no_sanding"
    if top is not None and too_wet(top, line.at, "sand_h", "recoat_h"):
        yield "dry"


def lead_forbids(held: Opinion, line: Entry) -> bool:
    """No test, or a positive one and dry work."""
    return held.lead is None or (held.lead and not line.details.get("wet_method"))


def ask_started(held: Opinion, line: Entry) -> Iterator[str]:
    """Too early, or old finish that may hold lead."""
    if line.stage in held.over or held.open_before(line.stage) or not held.in_plan(line.stage):
        yield "order"
    if "lead" in held.stages[line.stage].gates and lead_forbids(held, line):
        yield "lead"
    stage = held.stages[line.stage]
    needed = held.top(stage.needs_surface) if stage.needs_surface else None
    if needed is not None and too_wet(needed, line.at, f"{stage.needs_dryness}_h", "recoat_h"):
        yield "dry"
    base = held.top("planking" if stage.product_kind == "canvas" else stage.surface) if stage.coats else None
    if base is not None and not held.coats_on.get(line.stage) and too_wet(base, line.at, *next_hours(base, stage)):
        yield "dry"


def next_hours(base: Layer, stage: RouteStage) -> tuple[str, ...]:
    """The label's hours until a coat takes what a stage puts on it."""
    if base.product.kind != stage.product_kind:
        return COVERED
    return ("sand_h", "recoat_h") if base.product.sand_between else ("recoat_h",)


def ask_finished(held: Opinion, line: Entry) -> Iterator[str]:
    """Not in hand, coats missing, wet, rags lying, not aired, or sealer open to the sun."""
    stage = held.stages[line.stage]
    if line.stage not in held.started or line.stage in held.over or held.open_before(line.stage):
        yield "order"
    if not held.in_plan(line.stage):
        yield "order"
    if held.coats_on.get(line.stage, 0) < stage.coats:
        yield "coats"
    top = held.top(stage.surface) if stage.surface else None
    if top is not None and too_wet(top, line.at, "handle_h", "recoat_h"):
        yield "dry"
    if held.rags if line.stage == "hand_over" else line.stage in held.rags:
        yield "rags"
    if stage.product_kind == "preservative" and not aired(held, line.at):
        yield "outdoors"
    if line.stage == "hand_over" and any(map(open_to_the_sun, held.stacks.values())):
        yield "topped"


def open_to_the_sun(stack: list[Layer]) -> bool:
    """Whether a water-based sealer has no gloss varnish over it."""
    guarded = True
    for layer in stack:
        if layer.product.kind == "sealer":
            guarded = False
        elif layer.product.uv_protecting:
            guarded = True
    return not guarded


def ask_moved(held: Opinion, line: Entry) -> Iterator[str]:
    """Indoors before it has aired, or out into the sun with wet filler."""
    outside, top = line.details["zone"] in held.outdoors, held.top("skin")
    if not outside and not aired(held, line.at):
        yield "outdoors"
    if outside and top is not None and top.product.kind == "latex_filler" and too_wet(top, line.at, "topcoat_h"):
        yield "outdoors"


def ask_left_out(held: Opinion, line: Entry) -> Iterator[str]:
    """Rags left lying."""
    if line.stage in held.rags:
        yield "rags"


def remember(held: Opinion, line: Entry) -> None:
    """Let a line change what the oracle knows."""
    tell: dict[str, Any] = line.details
    match line.kind:
        case "arrived":
            held.old = dict.fromkeys(tell["old_finish"], "unknown")
        case "survey":
            held.old |= {k: v for k, v in tell["conditions"].items() if k in held.old}
            recount(held, tell["counts"].get("ribs", held.ribs))
        case "found":
            recount(held, held.ribs + tell["count"])
        case "lead_test":
            held.lead = bool(held.lead) or tell["positive"]
        case "started":
            held.started.add(line.stage)
            if "rags" in held.stages[line.stage].gates:
                held.rags.add(line.stage)
        case "coat":
            layer = Layer(held.products[tell["product"]], line.at, tell["zone"], line.stage)
            held.stacks.setdefault(tell["surface"], []).append(layer)
            held.coats_on[line.stage] = held.coats_on.get(line.stage, 0) + 1
            if layer.product.self_heating:
                held.rags.add(line.stage)
        case "sanded":
            top = held.top(tell["surface"])
            if top is not None:
                top.sanded = True
            else:
                held.old_sanded.add(tell["surface"])
        case "rags":
            held.rags.discard(line.stage)
        case "finished":
            finish(held, line.stage)
        case "left_out":
            held.left_out.add(line.stage)
        case "put_back":
            held.left_out.discard(line.stage)
        case "estimate" if tell["what"] == "sent":
            held.asked[tell["label"]] = tell["stages"]
        case "estimate":
            held.asked.pop(tell["label"], None)
        case "moved":
            held.moves.append((line.at, tell["zone"]))


def recount(held: Opinion, ribs: int) -> None:
    """More ribs than were known of open their stage again."""
    if ribs > held.ribs:
        held.finished.discard("ribs")
        held.left_out.discard("ribs")
    held.ribs = ribs


def finish(held: Opinion, stage: str) -> None:
    """A stage is over; one that strips lays its surface bare."""
    held.finished.add(stage)
    surface = held.stages[stage].strips
    if surface:
        held.old.pop(surface, None)
        held.old_sanded.discard(surface)
        held.stacks.pop(surface, None)


ASKS = {
    "coat": ask_coat,
    "sanded": ask_sanded,
    "started": ask_started,
    "finished": ask_finished,
    "moved": ask_moved,
    "left_out": ask_left_out,
}
