"""A finish record as its pages show it: as it was frozen at the hand-over, or before that from the log as it stands."""

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from datetime import date, datetime
from itertools import groupby
from operator import itemgetter
from typing import Any

from django.utils import timezone
from django.utils.formats import date_format, number_format
from django.utils.text import capfirst
from django.utils.translation import gettext as _

from hulls.models import FinishRecord, Photo, PhotoState
from hulls.photo_shown import Address, Shown, shown
from hulls.signature import read_signature
from hulls.skin_section import BODY, LayerKind
from hulls.wording import gettext_noop
from shop.stored import stored
from shop.units import UnitSystem, format_length, format_mass, format_quantity, format_temperature
from stages.engine.vocab import Surface
from stages.finish.care import care_of, kinds_of, looks_at
from stages.models import Surface as SurfaceNames
from stages.queries.finish_gather import gather
from stages.queries.pictured import Degrees, label_hours
from stages.queries.sheet import AtHand
from stages.queries.sheet_log import counts_in_words
from stages.queries.work import log_of
from stages.saying import recorded

ON_PAPER = 12  # photos of a printed record, spread over the boat's whole time
A_DAY_H = 48.0  # from so many hours on, days are easier to read


ALTERED = gettext_noop("What stands here is not what was given. It is not shown; ask the shop.")


@dataclass(frozen=True, slots=True, kw_only=True)
class LayerRow:
    """One layer in words, with the colour that stands for it; ``air`` is empty where nobody read it."""

    fill: str
    product: str
    step: str
    day: str
    clock: str
    by: str
    air: tuple[str, ...]
    dried: str
    lots: str
    amount: str


@dataclass(frozen=True, slots=True, kw_only=True)
class SurfaceRows:
    """A surface and its layers, from the wood outward."""

    name: str
    layers: tuple[LayerRow, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Signed:
    """A step, its day, and who signed it off; or what was set aside, with its reason."""

    step: str
    day: str
    by: str
    words: str = ""
    reason: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Care:
    """A point of the care of the finish; ``left`` says that it was not talked through at the hand-over."""

    text: str
    left: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Receipt:
    """What whoever fetched the boat signed for.

    ``path`` draws their signature, ``paper`` is the photo of the paper that they signed, ``unsigned`` says why nobody
    signed; ``talked`` says that every point of the care was talked through, ``short`` why something was left out.
    """

    to: str
    by: str
    day: str
    clock: str
    goods: tuple[str, ...]
    talked: bool
    short: str
    path: str
    paper: int | None
    unsigned: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Again:
    """A month in which to look at the boat again, and what for."""

    month: str
    text: str


@dataclass(frozen=True, slots=True, kw_only=True)
class RecordPage:
    """A finish record, ready to read; ``version`` is 0 for a preview of what is not frozen yet."""

    tag: str
    name: str
    version: int
    digest: str
    holds: bool
    arrived: str
    handed_over: str
    particulars: tuple[tuple[str, str], ...]
    surfaces: tuple[SurfaceRows, ...]
    old: str
    mended: tuple[Signed, ...]
    signed: tuple[Signed, ...]
    overrides: tuple[Signed, ...]
    care: tuple[Care, ...]
    again: tuple[Again, ...]
    photos: tuple[Shown, ...]
    receipt: Receipt | None

    @property
    def on_paper(self) -> tuple[Shown, ...]:
        """The photos that a sheet of paper carries: the first, the last, and some between."""
        n = len(self.photos)
        if n <= ON_PAPER:
            return self.photos
        return tuple(self.photos[round(i * (n - 1) / (ON_PAPER - 1))] for i in range(ON_PAPER))


def standing_record(hull_id: int) -> FinishRecord | None:
    """The record that a boat was given; None before its hand-over."""
    return FinishRecord.objects.filter(hull_id=hull_id, withdrawn_at__isnull=True).first()


def record_at_hand(hull: AtHand, address: Address) -> RecordPage:
    """The record as it was given; before the hand-over, as it would be if the boat left as it stands."""
    frozen = standing_record(hull.row.pk)
    body = frozen.body if frozen else gather(hull.hull, hull.work, log_of(hull.row.pk), hull.now)
    units, today = UnitSystem(hull.setup.shop.units), timezone.localdate(hull.now)
    return record_page(body, units=units, address=address, today=today, frozen=frozen)


def record_page(
    body: Mapping[str, Any], *, units: UnitSystem, address: Address, today: date, frozen: FinishRecord | None = None
) -> RecordPage:
    """A record in the reader's words, in one query for its photos.

    Parameters
    ----------
    body : mapping
        What was gathered.
    units : UnitSystem
        In which sizes and temperatures are shown.
    address : callable
        Where whoever looks finds the copies of a photo.
    today : date
        From when on the looks are counted while nothing is handed over.
    frozen : FinishRecord, optional
        The row that holds it.
    """
    kinds, boat = kinds_of(body["surfaces"]), body["hull"]
    lead = bool(body["lead"]) and bool(body["old"])
    since = _moment(body["handed_over"]).date() if body["handed_over"] else today
    return RecordPage(
        tag=boat["tag"],
        name=boat["name"],
        version=frozen.version if frozen else 0,
        digest=frozen.digest if frozen else "",
        holds=frozen.holds if frozen else True,
        arrived=_day(body["arrived"]),
        handed_over=_day(body["handed_over"]),
        particulars=tuple(_particulars(body, units)),
        surfaces=tuple(_surface(held, units, body) for held in body["surfaces"]),
        old=", ".join(str(SurfaceNames(Surface(name)).label) for name in body["old"]),
        mended=tuple(_mended(item) for item in body["mended"]),
        signed=tuple(Signed(step=stored(s["step"]), day=_day(s["at"]), by=s["by"]) for s in body["steps"]),
        overrides=tuple(_overrides(body["overrides"])),
        care=tuple(_care(care_of(kinds, lead=lead), body.get("receipt"))),
        again=tuple(Again(month=_month(since, look.months), text=_(look.text)) for look in looks_at(kinds)),
        photos=tuple(shown(photo, address) for photo in _photos(body)),
        receipt=_receipt(body.get("receipt")),
    )


def _particulars(body: Mapping[str, Any], units: UnitSystem) -> Iterator[tuple[str, str]]:
    boat = body["hull"]
    sizes = (format_length(boat[name], units, parts_of_inch=8) for name in ("length_m", "beam_m", "depth_m"))
    yield _("Length, beam, depth"), " × ".join(sizes)
    if boat["wood"]:
        yield _("Wood"), boat["wood"]
    if boat["fittings"]:
        yield _("Fittings"), boat["fittings"]
    yield _("Colour"), stored(boat["colour_name"])
    if body["canvas_kg"]:
        yield _("Blank of canvas, reckoned"), format_mass(body["canvas_kg"], units)
    if body["moisture"]:
        last = body["moisture"][-1]
        told = {"pct": number_format(last["pct"], 1), "day": _day(last["at"])}
        yield _("Wood moisture, last measured"), _("%(pct)s %% on %(day)s") % told
    if body["lead"] is not None:
        found = _("the old finish held lead") if body["lead"] else _("none found in the old finish")
        yield _("Lead test"), found


def _surface(held: Mapping[str, Any], units: UnitSystem, body: Mapping[str, Any]) -> SurfaceRows:
    name = capfirst(str(SurfaceNames(Surface(held["surface"])).label))
    return SurfaceRows(name=name, layers=tuple(_layer(layer, units, body) for layer in held["layers"]))


def _layer(layer: Mapping[str, Any], units: UnitSystem, body: Mapping[str, Any]) -> LayerRow:
    at, step, kind = _moment(layer["at"]), stored(layer["step"]), LayerKind(layer["kind"])
    if layer["planned"] > 1 and layer["number"]:
        step = _("%(step)s, coat %(n)s of %(of)s") % {"step": step, "n": layer["number"], "of": layer["planned"]}
    elif not layer["number"]:
        step = _("%(step)s, beyond the plan") % {"step": step}
    return LayerRow(
        fill=body["hull"]["colour"] if kind is LayerKind.ENAMEL else BODY[kind][1],
        product=stored(layer["product"]),
        step=step,
        day=date_format(at, "j F Y"),
        clock=f"{at:%H:%M}",
        by=layer["by"],
        air=tuple(_air(layer["air"], units)),
        dried=_dried(layer, over=body["handed_over"] is not None),
        lots=", ".join(layer["lots"]),
        amount=format_quantity(layer["amount"], layer["unit"], units) if layer["amount"] else "",
    )


def _air(air: Mapping[str, Any], units: UnitSystem) -> Iterator[str]:
    if not air["read"]:
        return
    yield format_temperature(air["air_c"], units)
    yield _("%(rh)s %% humidity") % {"rh": air["rh_pct"]}
    words = _("surface %(margin)s over the dew point") if air["surface_read"] else _("%(margin)s over the dew point")
    yield words % {"margin": Degrees(units).difference(air["margin_c"])}


def _dried(layer: Mapping[str, Any], *, over: bool) -> str:
    hours = layer["dried_h"]
    words = {"for": _("%(n)s days") % {"n": number_format(hours / 24, 0)} if hours >= A_DAY_H else label_hours(hours)}
    if layer["then"] == "sanded":
        words["grit"] = layer["grit"]
        return (_("%(for)s, then sanded with %(grit)s") if layer["grit"] else _("%(for)s, then sanded")) % words
    if layer["then"] == "coat":
        return _("%(for)s before the next layer") % words
    return (_("%(for)s until the hand-over") if over else _("%(for)s so far")) % words


def _mended(item: Mapping[str, Any]) -> Signed:
    places = {item["damage"]: item["places"]} if item["places"] else {}
    words = capfirst(counts_in_words({item["damage"]: item["count"]}, places))
    return Signed(step=words, day=_day(item["at"]), by="", words=". ".join(item["notes"]))


def _overrides(items: list[dict[str, Any]]) -> Iterator[Signed]:
    """What was set aside, the rules that one act broke together."""
    for (at, step, by, reason), found in groupby(items, key=itemgetter("at", "step", "by", "reason")):
        words = " ".join(dict.fromkeys(map(recorded, found)))
        yield Signed(step=stored(step), day=_day(at), by=by, words=words, reason=reason)


def _care(points: Iterable[str], receipt: Mapping[str, Any] | None) -> Iterator[Care]:
    left = receipt["left"] if receipt else ()
    return (Care(text=_(point), left=point in left) for point in points)


def _receipt(held: Mapping[str, Any] | None) -> Receipt | None:
    if held is None:
        return None
    at = _moment(held["at"])
    return Receipt(
        to=held["to"],
        by=held["by"],
        day=date_format(at, "j F Y"),
        clock=f"{at:%H:%M}",
        goods=tuple(held["goods"]),
        talked=not held["left"],
        short=held["short"],
        path=read_signature(held["signature"]).path if held["signature"] else "",
        paper=held["paper"],
        unsigned=held.get("unsigned", ""),
    )


def _photos(body: Mapping[str, Any]) -> Iterator[Photo]:
    """Those of the record that still may be seen: one that was struck or is shared no more is gone from it too."""
    numbers = [held["photo"] for held in body["photos"]]
    kept = Photo.objects.filter(pk__in=numbers, shared=True, state=PhotoState.READY, struck_at=None)
    yield from kept.order_by("taken_at", "pk")


def _moment(text: str) -> datetime:
    return timezone.localtime(datetime.fromisoformat(text))


def _day(text: str | None) -> str:
    return date_format(_moment(text), "j F Y") if text else ""


def _month(since: date, months: int) -> str:
    """The month so many months later, such as "May 2027"."""
    years, month = divmod(since.month - 1 + months, 12)
    return date_format(date(since.year + years, month + 1, 1), "F Y")
