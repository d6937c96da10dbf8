"""The log of one hull as its sheet tells it: one plain sentence a line, struck lines kept in sight."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from datetime import datetime, timedelta
from decimal import Decimal
from typing import Any

from django.utils.text import capfirst
from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from hulls.charging import money
from shop.units import UnitSystem, format_volume
from stages.engine.label import Dryness
from stages.engine.learning import Seen
from stages.engine.log import EntryKind
from stages.engine.rules.dry import STEPS
from stages.engine.vocab import Condition, Paper
from stages.engine.work import Work
from stages.finish.receipt import HANDED
from stages.models import Condition as ConditionNames
from stages.models import Entry
from stages.models import Surface as SurfaceNames
from stages.queries.world import SetUp
from stages.saying import recorded, when

LATE_BY = timedelta(minutes=10)  # a line recorded later than this says so
KEPT = frozenset({EntryKind.STRIKE, EntryKind.ARRIVED, EntryKind.LINK, EntryKind.ESTIMATE})


@dataclass(frozen=True, slots=True, kw_only=True)
class LogRow:
    """One line of the log in words; ``struck`` holds the reason where it was struck."""

    number: int
    at: datetime
    said_at: str
    recorded: str
    by: str
    says: str
    spite: tuple[str, ...]
    is_struck: bool
    struck: str
    may_strike: bool


@dataclass(frozen=True, slots=True)
class Names:
    """What the numbers in a log stand for."""

    work: Work
    setup: SetUp

    def stage(self, entry: Entry) -> str:
        """Name of a line's stage."""
        spec = self.work.route.by_key.get(entry.stage)
        return spec.name if spec else entry.stage

    def product(self, number: int) -> str:
        """Name of a product."""
        product = self.work.world.products.get(number)
        return product.name if product else "?"

    def zone(self, number: int) -> str:
        """Name of a zone."""
        zone = self.setup.zones.get(number)
        return zone.name if zone else "?"


def log_rows(entries: tuple[Entry, ...], work: Work, setup: SetUp, now: datetime) -> tuple[LogRow, ...]:
    """The lines of a log in words, the newest first.

    Parameters
    ----------
    entries : tuple of Entry
        The whole log in order, each with whoever recorded it.
    work, setup : Work, SetUp
        What its numbers stand for.
    now : datetime
        The moment, aware.
    """
    names = Names(work, setup)
    reasons = {e.details["entry"]: e.details["reason"] for e in entries if e.kind == EntryKind.STRIKE}
    return tuple(_row(entry, names, reasons, now) for entry in reversed(entries))


def _row(entry: Entry, names: Names, reasons: Mapping[int, str], now: datetime) -> LogRow:
    struck = entry.number in reasons
    late = entry.recorded_at - entry.at > LATE_BY
    return LogRow(
        number=entry.number,
        at=entry.at,
        said_at=when(entry.at, now),
        recorded=_("recorded %(when)s") % {"when": when(entry.recorded_at, now)} if late else "",
        by=entry.by.called if entry.by else "",
        says=sentence(entry, names),
        spite=tuple(_spite(item) for item in entry.details.get("overrides", ())),
        is_struck=struck,
        struck=reasons.get(entry.number, ""),
        may_strike=not struck and EntryKind(entry.kind) not in KEPT and not entry.details.get("changed"),
    )


def sentence(entry: Entry, names: Names) -> str:
    """What a line tells, as one plain sentence."""
    return _TELL[EntryKind(entry.kind)](entry, names)


def counts_in_words(counts: Mapping[str, int], places: Mapping[str, list[tuple[int, str]]] | None = None) -> str:
    """Counts of a survey: ``3 ribs (3 port, 4 port), 2 lengths of planking``; nothing for none."""
    where = {what: places_in_words(found) for what, found in (places or {}).items()}
    said = (
        f"{_counted(what, count)} ({where[what]})" if what in where else _counted(what, count)
        for what, count in counts.items()
        if count
    )
    return ", ".join(said)


def places_in_words(places: list[tuple[int, str]]) -> str:
    """Places of a survey's line: ``3 port, 7 starboard``."""
    sides = {"port": _("port"), "starboard": _("starboard"), "": ""}
    return ", ".join(f"{rib} {sides[side]}".strip() for rib, side in places)


def _counted(what: str, count: int) -> str:
    names = {
        "ribs": ngettext("%(n)s rib", "%(n)s ribs", count),
        "planks": ngettext("%(n)s length of planking", "%(n)s lengths of planking", count),
        "stems": ngettext("%(n)s stem", "%(n)s stems", count),
        "inwales": ngettext("%(n)s place of the inwales", "%(n)s places of the inwales", count),
        "decks": ngettext("%(n)s deck", "%(n)s decks", count),
        "outwales": ngettext("%(n)s outwale", "%(n)s outwales", count),
        "seats": ngettext("%(n)s seat", "%(n)s seats", count),
    }
    return names[what] % {"n": count}


def _spite(item: Mapping[str, Any]) -> str:
    told = {"words": recorded(item), "reason": item["reason"]}
    return _("Gone ahead, though: %(words)s Because: %(reason)s") % told


def _with(sentence: str, *more: str) -> str:
    return ". ".join(part.rstrip(".") for part in (sentence, *more) if part) + "."


def _surface(name: str) -> str:
    return str(SurfaceNames(name).label)


def _arrived(entry: Entry, names: Names) -> str:
    old = ", ".join(_surface(name) for name in entry.details.get("old_finish", ()))
    return _("Arrived, with old finish on: %(old)s.") % {"old": old} if old else _("Arrived, without old finish.")


def _survey(entry: Entry, names: Names) -> str:
    counts = counts_in_words(entry.details.get("counts", {}), entry.details.get("places", {}))
    found = [
        f"{_surface(name)} {ConditionNames(value).label}"
        for name, value in entry.details.get("conditions", {}).items()
        if value != Condition.UNKNOWN
    ]
    return _("Survey: %(found)s.") % {"found": "; ".join(filter(None, (counts, *found))) or _("nothing to mend")}


def _found(entry: Entry, names: Names) -> str:
    words = _("Found on the way: %(counted)s") % {"counted": _counted(entry.details["damage"], entry.details["count"])}
    return _with(words, entry.details.get("note", ""))


def _started(entry: Entry, names: Names) -> str:
    words = _("Started “%(stage)s”") % {"stage": names.stage(entry)}
    return _with(words + (", " + _("by the wet method") if entry.details.get("wet_method") else ""))


def _coat(entry: Entry, names: Names) -> str:
    words = _("A coat of %(product)s on the %(surface)s, in %(zone)s") % {
        "product": names.product(entry.details["product"]),
        "surface": _surface(entry.details["surface"]),
        "zone": names.zone(entry.details["zone"]),
    }
    lot = _("pot or lot %(lot)s") % {"lot": entry.details["lot"]} if entry.details.get("lot") else ""
    litres = entry.details.get("litres")
    used = format_volume(litres, UnitSystem(names.setup.shop.units)) if litres else ""
    return _with(", ".join(filter(None, (words, lot, used))))


def _sanded(entry: Entry, names: Names) -> str:
    words = _("Sanded the %(surface)s") % {"surface": _surface(entry.details["surface"])}
    grit = _("grit %(grit)s") % {"grit": entry.details["grit"]} if entry.details.get("grit") else ""
    wet = _("wet") if entry.details.get("wet_method") else ""
    return _with(", ".join(filter(None, (words, grit, wet))))


def _finished(entry: Entry, names: Names) -> str:
    words = _("Finished “%(stage)s”") % {"stage": names.stage(entry)}
    handed = entry.details.get(HANDED)
    return _with(f"{words}, {_signed(handed)}" if handed else words)


def _signed(handed: Mapping[str, Any]) -> str:
    if why := handed.get("unsigned"):
        return _("signed for by nobody: %(why)s") % {"why": why}
    return _("signed for on the phone") if handed["signature"] else _("signed for on paper")


def _moved(entry: Entry, names: Names) -> str:
    where = {"station": entry.details["name"], "place": entry.details["place"]}
    return _("Moved to %(station)s, place %(place)s.") % where


def _moisture(entry: Entry, names: Names) -> str:
    words = _("Wood moisture %(pct)s %%") % {"pct": f"{entry.details['moisture_pct']:g}"}
    return _with(", ".join(filter(None, (words, entry.details.get("spot", "")))))


def _lead_test(entry: Entry, names: Names) -> str:
    words = _("Lead test: lead found") if entry.details["positive"] else _("Lead test: no lead found")
    return _with(words, capfirst(entry.details.get("how", "")))


def _seen(entry: Entry, names: Names) -> str:
    dryness, tacky = Dryness(entry.details["dryness"]), entry.details["seen"] == Seen.TACKY
    words = _("%(product)s on the %(surface)s tried: still too soft to %(step)s")
    if not tacky:
        words = _("%(product)s on the %(surface)s tried: dry enough to %(step)s")
    told = {"product": names.product(entry.details["product"]), "surface": _surface(entry.details["surface"])}
    return _with(words % {**told, "step": _(STEPS[dryness])})


def _rags(entry: Entry, names: Names) -> str:
    words = _("Rags of “%(stage)s” dealt with") % {"stage": names.stage(entry)}
    return _with(words, capfirst(entry.details.get("how", "")))


def _left_out(entry: Entry, names: Names) -> str:
    words = {"stage": names.stage(entry), "reason": entry.details["reason"]}
    return _with(_("Left out “%(stage)s”: %(reason)s") % words)


def _put_back(entry: Entry, names: Names) -> str:
    return _("Put “%(stage)s” back into the plan.") % {"stage": names.stage(entry)}


def _note(entry: Entry, names: Names) -> str:
    return str(entry.details["text"])


def _photo(entry: Entry, names: Names) -> str:
    if entry.details.get("signed_paper"):
        return _("Photo of the paper that was signed at the hand-over.")
    words = _("Photo, shown to the boat's owner") if entry.details.get("shared") else _("Photo")
    if entry.details.get("changed"):
        shared = entry.details["shared"]
        words = _("Photo changed, shown to the boat's owner") if shared else _("Photo changed, for the shop only")
    return f"{words}: {entry.details['caption']}" if entry.details.get("caption") else f"{words}."


def _link(entry: Entry, names: Names) -> str:
    made = entry.details.get("what") == "made"
    return _("Made a new progress link.") if made else _("Withdrew the progress link.")


def _estimate(entry: Entry, names: Names) -> str:
    told = entry.details
    gaps = {
        "label": told["label"],
        "version": told["version"],
        "total": money(Decimal(told["total"]), told["currency"]),
        "name": told.get("name", ""),
    }
    if told["what"] == "sent":
        asked = _("Sent change order %(label)s over %(total)s to the boat's owner.")
        if told["paper"] == Paper.ESTIMATE:
            asked = _("Sent estimate %(label)s, version %(version)s, over %(total)s to the boat's owner.")
        return asked % gaps
    says = {
        "approved": _("%(name)s approved %(label)s, version %(version)s, over %(total)s."),
        "declined": _("%(name)s declined %(label)s, version %(version)s."),
        "withdrawn": _("Withdrew %(label)s, version %(version)s."),
    }
    return says[told["what"]] % gaps


def _strike(entry: Entry, names: Names) -> str:
    return _("Struck line %(line)s: %(reason)s") % {"line": entry.details["entry"], "reason": entry.details["reason"]}


_TELL: dict[EntryKind, Callable[[Entry, Names], str]] = {
    EntryKind.ARRIVED: _arrived,
    EntryKind.SURVEY: _survey,
    EntryKind.FOUND: _found,
    EntryKind.STARTED: _started,
    EntryKind.COAT: _coat,
    EntryKind.SANDED: _sanded,
    EntryKind.FINISHED: _finished,
    EntryKind.MOVED: _moved,
    EntryKind.MOISTURE: _moisture,
    EntryKind.LEAD_TEST: _lead_test,
    EntryKind.SEEN: _seen,
    EntryKind.RAGS: _rags,
    EntryKind.LEFT_OUT: _left_out,
    EntryKind.PUT_BACK: _put_back,
    EntryKind.NOTE: _note,
    EntryKind.PHOTO: _photo,
    EntryKind.LINK: _link,
    EntryKind.ESTIMATE: _estimate,
    EntryKind.STRIKE: _strike,
}
