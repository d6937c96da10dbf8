"""Tacks, screws, bedding and glue: what holds canvas, planks, ribs and outwales."""

from collections.abc import Iterator, Sequence

from hulls.lines import Sizes
from hulls.takeoff.items import Draft
from hulls.takeoff.material import Material, first_of
from hulls.takeoff.practice import Practice
from hulls.takeoff.terms import Term, over, plus, start, times, up
from hulls.takeoff.work import Work
from hulls.wording import gettext_noop

SPARE = gettext_noop("for what bends, breaks or gets lost")


def drafts(sizes: Sizes, work: Work, materials: Sequence[Material], practice: Practice) -> Iterator[Draft | str]:
    """Give the items of what fastens; the name of a kind of which too little is known."""
    tacks = tuple(_tacks(sizes, work, practice))
    if tacks:
        yield _by_weight(tacks, first_of(materials, "tacks"))
    if work.outwales:
        yield of(
            "fastenings", "pc", gettext_noop("To screw the outwales on"), _screws(sizes, work, practice), materials
        )
    if work.refit:
        terms = _bedding(sizes, practice)
        yield of("bedding", "L", gettext_noop("Under keel, stem bands and outwales"), terms, materials)
    places = work.stems + work.inwales + work.decks
    if places:
        glue = (
            start(gettext_noop("Stems, inwale places and decks to glue"), places, "pc"),
            times(gettext_noop("glue of one place"), practice.glue_l, "L/pc"),
        )
        yield of("glue", "L", gettext_noop("To glue the new wood in"), glue, materials)


def _tacks(sizes: Sizes, work: Work, practice: Practice) -> Iterator[Term]:
    """The pieces: along both sheers and up both stems, through new planks, through new ribs."""
    spare = times(SPARE, 1.0 + practice.spare)
    if work.canvas:
        yield start(gettext_noop("Canvas: both sheers"), 2 * sizes.sheer_length_m, "m")
        yield over(gettext_noop("tack to tack"), practice.sheer_spacing_m, "m")
        yield spare
        yield start(gettext_noop("Canvas: both stems"), 2 * sizes.stem_length_m, "m")
        yield times(gettext_noop("rows"), practice.stem_rows)
        yield over(gettext_noop("tack to tack"), practice.stem_spacing_m, "m")
        yield spare
    crossing = times(gettext_noop("tacks where plank and rib cross"), practice.tacks_a_crossing, "pc")
    if work.planks:
        yield start(gettext_noop("New lengths of planking"), work.planks * practice.plank_length_m, "m")
        yield over(gettext_noop("rib to rib"), practice.rib_spacing_m, "m")
        yield crossing
        yield spare
    if work.ribs:
        yield start(
            gettext_noop("New ribs, each as long as the greatest girth"), work.ribs * sizes.greatest_girth_m, "m"
        )
        yield over(gettext_noop("width of a plank"), practice.plank_width_m, "m")
        yield crossing
        yield spare


def _by_weight(pieces: tuple[Term, ...], material: Material | None) -> Draft | str:
    for_what = gettext_noop("Canvas along the sheers and up the stems, new planks and ribs")
    if material is None:
        return "tacks"
    if material.unit == "pc":
        return Draft(material=material, for_what=for_what, because=(*pieces, up(gettext_noop("whole tacks"))))
    if material.unit != "kg" or material.pieces_per_kg is None:
        return "tacks"
    weighed = over(gettext_noop("tacks in 1 kg"), material.pieces_per_kg, "pc/kg")
    return Draft(material=material, for_what=for_what, because=each_sum(pieces, weighed))


def each_sum(terms: tuple[Term, ...], last: Term) -> tuple[Term, ...]:
    """Put a last term to each of the sums that are added up."""
    closed: list[Term] = []
    for term in terms:
        if closed and term.how == "start":
            closed.append(last)
        closed.append(term)
    return (*closed, last)


def _screws(sizes: Sizes, work: Work, practice: Practice) -> tuple[Term, ...]:
    return (
        start(gettext_noop("New outwales, each as long as the sheer"), work.outwales * sizes.sheer_length_m, "m"),
        over(gettext_noop("screw to screw"), practice.screw_spacing_m, "m"),
        times(SPARE, 1.0 + practice.spare),
        up(gettext_noop("whole screws")),
    )


def _bedding(sizes: Sizes, practice: Practice) -> tuple[Term, ...]:
    return (
        start(gettext_noop("Keel"), sizes.keel_length_m, "m"),
        plus(gettext_noop("both stem bands"), 2 * sizes.stem_length_m, "m"),
        plus(gettext_noop("both outwales"), 2 * sizes.sheer_length_m, "m"),
        times(gettext_noop("a bead of it"), practice.bead_l_per_m, "L/m"),
    )


def of(kind: str, unit: str, for_what: str, because: tuple[Term, ...], materials: Sequence[Material]) -> Draft | str:
    """Give the item of the first product of a kind; the kind's name where it is not counted in this unit."""
    material = first_of(materials, kind)
    if material is None or material.unit != unit:
        return kind
    return Draft(material=material, for_what=for_what, because=because)
