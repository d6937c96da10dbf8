"""Wood and cane from what the survey counted, with some over."""

from collections.abc import Iterator, Sequence

from hulls.lines import Sizes
from hulls.takeoff.items import Draft
from hulls.takeoff.material import Material, first_of
from hulls.takeoff.practice import Practice
from hulls.takeoff.terms import Term, start, times, up
from hulls.takeoff.work import Work
from hulls.wording import gettext_noop

FOR_WHAT = {
    "ribs": gettext_noop("New ribs"),
    "planks": gettext_noop("New planking"),
    "stems": gettext_noop("New stems"),
    "inwales": gettext_noop("Pieces scarfed into the inwales"),
    "decks": gettext_noop("New decks"),
    "outwales": gettext_noop("New outwales"),
}
SPARED = ("ribs", "planks")  # they break in bending, or show bad grain when they are cut
PIECES = gettext_noop("Pieces")
SPARE = gettext_noop("with some over for what breaks or has bad grain")
WHOLE = gettext_noop("whole pieces")
LENGTH = gettext_noop("length of one as it is cut, longer than it ends up")
WIDTH = gettext_noop("width of a plank")
BOARD = gettext_noop("the board of a deck")
CANE_M = 76.0  # strands of one seat, about 250 ft: from memory


def drafts(sizes: Sizes, work: Work, materials: Sequence[Material], practice: Practice) -> Iterator[Draft | str]:
    """Give an item for each part that is renewed; the name of the kind where no wood is known for it."""
    for part, for_what in FOR_WHAT.items():
        count = getattr(work, part)
        if count:
            yield _draft(part, count, for_what, sizes, materials, practice)
    if work.seats:
        yield _cane(work.seats, first_of(materials, "cane"))


def _draft(
    part: str, count: int, for_what: str, sizes: Sizes, materials: Sequence[Material], practice: Practice
) -> Draft | str:
    material = first_of(materials, "timber", part=part)
    if material is None:
        return "timber"
    pieces: tuple[Term, ...] = (start(PIECES, count, "pc"),)
    if part in SPARED:
        pieces = (*pieces, times(SPARE, 1.0 + practice.timber_spare), up(WHOLE))
    match part, material.unit:
        case "decks", "m2":
            return Draft(
                material=material, for_what=for_what, because=(*pieces, times(BOARD, practice.board_m2, "m2/pc"))
            )
        case "planks", "m2":
            size = (times(LENGTH, practice.plank_length_m, "m/pc"), times(WIDTH, practice.plank_width_m, "m"))
            return Draft(material=material, for_what=for_what, because=(*pieces, *size))
        case "ribs" | "planks" | "stems" | "inwales" | "outwales", "m":
            length_m = _length_m(part, sizes, practice)
            cut = times(LENGTH, length_m, "m/pc")
            return Draft(material=material, for_what=for_what, because=(*pieces, cut), piece=length_m)
    return "timber"


def _length_m(part: str, sizes: Sizes, practice: Practice) -> float:
    """Length of one piece as it is cut: longer than it ends up."""
    ends_up = {
        "ribs": sizes.greatest_girth_m,
        "planks": practice.plank_length_m,
        "stems": sizes.stem_length_m,
        "inwales": practice.scarf_m,
        "outwales": sizes.sheer_length_m,
    }
    return ends_up[part] + practice.end_spare_m


def _cane(seats: int, material: Material | None) -> Draft | str:
    if material is None or material.unit not in ("pc", "m"):
        return "cane"
    sets = start(gettext_noop("Seats"), seats, "pc")
    strands = (times(gettext_noop("strands of one seat"), CANE_M, "m/pc"),) if material.unit == "m" else ()
    return Draft(material=material, for_what=gettext_noop("To cane the seats"), because=(sets, *strands))
