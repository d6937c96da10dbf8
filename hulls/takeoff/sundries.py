"""What is used up beside the coats: abrasives, solvent, rags, gloves, strainers."""

from collections.abc import Iterable, Iterator, Sequence

from hulls.lines import Sizes
from hulls.takeoff.coats import area
from hulls.takeoff.items import Draft
from hulls.takeoff.material import Material, first_of
from hulls.takeoff.practice import STRAINED, Practice
from hulls.takeoff.tacks import each_sum, of
from hulls.takeoff.terms import Term, over, start, times, up
from hulls.takeoff.work import Coats, Work
from hulls.wording import gettext_noop

FAIRING = gettext_noop("To fair and sand")
SHEETS = gettext_noop("whole sheets")


def drafts(
    sizes: Sizes, work: Work, materials: Sequence[Material], practice: Practice, coats: Sequence[Draft]
) -> Iterator[Draft | str]:
    """Give the items, or the name of a kind of which too little is known.

    Parameters
    ----------
    sizes, work, materials, practice
        As for `take_off`.
    coats : sequence of Draft
        What is brushed on: solvent goes by it.
    """
    yield from _abrasives(sizes, work, materials, practice)
    solvent = tuple(_solvent(work, materials, practice, coats))
    if solvent:
        yield of("solvent", "L", gettext_noop("To thin, and to clean up"), solvent, materials)
    laid = sum(found.coats for found in work.coats if found.kind != "canvas") + len(work.strips)
    if not laid:
        return
    each = start(gettext_noop("Coats, and surfaces to strip"), laid, "pc")
    rags = (each, times(gettext_noop("rags of one"), practice.rags_kg, "kg/pc"))
    yield of("rags", "kg", gettext_noop("To wipe and clean up"), rags, materials)
    gloves = (each, times(gettext_noop("pairs of one"), practice.gloves_pairs))
    yield of("gloves", "pc", gettext_noop("For the hands"), gloves, materials)
    strained = sum(found.coats for found in work.coats if found.kind in STRAINED)
    if strained:
        strainers = (
            start(gettext_noop("Coats to strain"), strained, "pc"),
            times(gettext_noop("of one"), practice.strainers),
        )
        yield of("filter", "pc", gettext_noop("To strain what goes on"), strainers, materials)


def _abrasives(sizes: Sizes, work: Work, materials: Sequence[Material], practice: Practice) -> Iterator[Draft | str]:
    sums: dict[int, list[Term]] = {}
    if work.canvas:
        for grit in practice.fairing_grits:
            sums.setdefault(grit, []).extend(area("planking", sizes, practice))
    for number, found in enumerate(work.coats):
        rounds = _sandings(found, work.coats[number + 1 :], materials)
        between = practice.sanding.get(found.kind)
        if rounds and between is not None:
            sanded = times(gettext_noop("times sanded"), rounds)
            sums.setdefault(between, []).extend((*area(found.surface, sizes, practice), sanded))
    sheet = over(gettext_noop("what a sheet sands"), practice.m2_per_sheet, "m2/pc")
    for grit, terms in sorted(sums.items()):
        material = first_of(materials, "abrasive", grit=grit)
        if material is None or material.unit != "pc":
            yield "abrasive"
        else:
            yield Draft(material=material, for_what=FAIRING, because=(*each_sum(tuple(terms), sheet), up(SHEETS)))


def _sandings(coats: Coats, later: Iterable[Coats], materials: Sequence[Material]) -> int:
    """How often a coat is sanded: after each of them, but not the last one on its surface."""
    material = first_of(materials, coats.kind)
    if material is None or not material.sanded:
        return 0
    return coats.coats if any(found.surface == coats.surface for found in later) else coats.coats - 1


def _solvent(work: Work, materials: Sequence[Material], practice: Practice, coats: Sequence[Draft]) -> Iterator[Term]:
    for draft in coats:
        share = practice.thinning.get(draft.material.kind, 0.0)
        if share and draft.material.oil_based and draft.material.unit == "L":
            yield start(draft.material.name, draft.amount, "L")
            yield times(gettext_noop("share of thinner"), share)
    brushes = sum(found.coats for found in work.coats if _oil_based(found.kind, materials))
    if brushes:
        yield start(gettext_noop("Oil-based coats to clean up after"), brushes, "pc")
        yield times(gettext_noop("solvent of one"), practice.wash_up_l, "L/pc")


def _oil_based(kind: str, materials: Sequence[Material]) -> bool:
    material = first_of(materials, kind)
    return material is not None and material.oil_based
