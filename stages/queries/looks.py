"""How a hull looks today: what is outermost on it, in which colour, and whether its outwales are on."""

from dataclasses import dataclass

from hulls.drawing import HullDrawing, Scale, draw_hull
from hulls.models import Hull
from hulls.sizes import drawn_from
from hulls.skins import SkinKind, skin_after
from stages.engine.vocab import ProductKind, Surface
from stages.engine.work import Work

OFF, ON = "unfit", "refit"  # the stages that take the outwales off and put them back


@dataclass(frozen=True, slots=True)
class Look:
    """What is outermost on a hull, its colour as ``#rrggbb`` where it has one of its own, and its outwales."""

    skin: SkinKind
    colour: str | None
    outwales: bool


def look_of(hull: Hull, work: Work) -> Look:
    """How a hull looks after all that its log tells.

    Parameters
    ----------
    hull : Hull
        The boat, for its colours.
    work : Work
        The engine's view of it.
    """
    outwales = _outwales_on(work)
    top = work.state.top(Surface.SKIN)
    if top is not None:
        product = work.product(top)
        own = (product.colour or hull.colour) if product.kind is ProductKind.ENAMEL else None
        return Look(skin_after(product.kind), own, outwales)
    if Surface.SKIN in work.state.old_finish:
        return Look(SkinKind.OLD_PAINT, hull.old_colour, outwales)
    under = work.state.top(Surface.PLANKING)
    return Look(skin_after(work.product(under).kind if under else None), None, outwales)


def drawing_of(hull: Hull, work: Work, scale: Scale) -> HullDrawing:
    """A hull in side view on a scale, as it looks today."""
    look = look_of(hull, work)
    return draw_hull(drawn_from(hull), scale, look.skin, colour=look.colour, outwales=look.outwales)


def _outwales_on(work: Work) -> bool:
    off, on = work.state.stage(OFF), work.state.stage(ON)
    return off.finished_at is None or on.finished_at is not None
