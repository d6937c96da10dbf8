"""What lies on a hull, in words: its skin of today, and each surface with its coats."""

from dataclasses import dataclass
from datetime import datetime

from django.utils.text import capfirst
from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from hulls.models import Hull
from hulls.skins import SkinKind
from shop.stored import stored
from stages.engine.state import Coat
from stages.engine.vocab import Condition, Surface
from stages.engine.work import Work
from stages.models import Condition as ConditionNames
from stages.models import Surface as SurfaceNames
from stages.queries.looks import look_of
from stages.queries.world import SetUp
from stages.saying import when


@dataclass(frozen=True, slots=True, kw_only=True)
class CoatRow:
    """One coat in words: what, which of its stage, when, in which zone, whether it was sanded; and its log line."""

    line: int
    name: str
    stage: str
    number: int
    at: str
    zone: str
    lot: str
    sanded: str


@dataclass(frozen=True, slots=True, kw_only=True)
class SurfaceRow:
    """A surface, what lies on it in few words, and its coats from the outside inward."""

    key: str
    name: str
    says: str
    coats: tuple[CoatRow, ...]


def skin_words(hull: Hull, work: Work) -> str:
    """What is outermost on a hull, for whoever cannot see the drawing."""
    names = {
        SkinKind.OLD_PAINT: _("old paint"),
        SkinKind.BARE: _("bare wood"),
        SkinKind.OILED: _("oiled wood"),
        SkinKind.CANVAS: _("raw canvas"),
        SkinKind.TREATED: _("treated canvas"),
        SkinKind.LATEX_FILLER: _("latex filler"),
        SkinKind.OIL_FILLER: _("oil-based filler"),
        SkinKind.PRIMER: _("primer"),
        SkinKind.ENAMEL: _("enamel, %(colour)s") % {"colour": stored(hull.colour_name)},
    }
    return names[look_of(hull, work).skin]


def surface_rows(work: Work, setup: SetUp, now: datetime) -> tuple[SurfaceRow, ...]:
    """Every surface of the hull with what lies on it."""
    return tuple(
        SurfaceRow(
            key=surface.value,
            name=capfirst(str(SurfaceNames(surface).label)),
            says=_on_it(work, surface),
            coats=tuple(_coat_row(work, setup, coat, now) for coat in reversed(work.state.stack(surface))),
        )
        for surface in Surface
    )


def _on_it(work: Work, surface: Surface) -> str:
    stack = work.state.stack(surface)
    count = ngettext("%(n)s coat", "%(n)s coats", len(stack)) % {"n": len(stack)} if stack else ""
    return ", ".join(filter(None, (count, _old(work, surface)))) or _("bare")


def _old(work: Work, surface: Surface) -> str:
    condition = work.state.old_finish.get(surface)
    if condition is None:
        return ""
    if condition is Condition.UNKNOWN:
        return _("old finish, not looked at yet")
    words = _("old finish, sanded") if surface in work.state.old_sanded else _("old finish")
    return f"{words}, {ConditionNames(condition).label}"


def _coat_row(work: Work, setup: SetUp, coat: Coat, now: datetime) -> CoatRow:
    zone, spec = setup.zones.get(coat.zone), work.route.by_key.get(coat.stage)
    return CoatRow(
        line=coat.entry,
        name=work.product(coat).name,
        stage=spec.name if spec else coat.stage,
        number=coat.number,
        at=when(coat.at, now),
        zone=zone.name if zone else "",
        lot=coat.lot,
        sanded=_sanded(coat, now),
    )


def _sanded(coat: Coat, now: datetime) -> str:
    if coat.sanded_at is None:
        return ""
    if coat.sanded_grit is None:
        return _("sanded %(when)s") % {"when": when(coat.sanded_at, now)}
    return _("sanded %(when)s, grit %(grit)s") % {"when": when(coat.sanded_at, now), "grit": coat.sanded_grit}
