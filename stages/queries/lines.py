"""What the page of a hull's lines shows: sizes with their spread, girths, the body plan, and who wrote it down."""

from dataclasses import dataclass
from hashlib import sha256

from django.utils.translation import gettext as _

from hulls.lines import HULL_TYPES, LinesError, Offsets, Sizes, measure_taped
from hulls.lines.principal import METRES_PER_FOOT
from hulls.lines.sections import BodyPlan, Cut, body_plan, sections, sections_of_offsets
from hulls.lines.simpson import simpson
from hulls.models import Hull, LinesKind, LinesRecord
from hulls.offsets.kept import Lines, read_kept
from hulls.services.lines import kind_of
from hulls.sizes import principal_of, sizes_of
from shop.units import UnitSystem, format_area, format_length

DRAWN_AS = 1  # counts up with any change to how body plans are drawn
BY_GIRTHS = 13  # as many girths as Simpson's rule takes of a hull that no table tells


@dataclass(frozen=True, slots=True, kw_only=True)
class LinesPage:
    """The page, ready to read.

    Parameters
    ----------
    kind : LinesKind
        What the sizes come from.
    fits : bool
        Whether the taped stations are still this hull's: a measure may have been changed since.
    cautions : tuple of str
        What of a table looks to be in another unit than metres.
    sizes : tuple of (str, str)
        Each with its name, in the shop's units.
    spread, how : str
        How far the area may be out, and how that was arrived at.
    girths : tuple of (str, str)
        Along the length.
    by_girths : str
        The area by girths alone; empty where they are not evenly spaced.
    plan : BodyPlan
        The sections.
    says : str
        The body plan in words.
    record : LinesRecord or None
        Who wrote it down.
    """

    kind: LinesKind
    fits: bool
    cautions: tuple[str, ...]
    sizes: tuple[tuple[str, str], ...]
    spread: str
    how: str
    girths: tuple[tuple[str, str], ...]
    by_girths: str
    plan: BodyPlan
    says: str
    record: LinesRecord | None


def lines_page(hull: Hull, units: UnitSystem) -> LinesPage:
    """The page of one hull, in one query."""
    lines = read_kept(hull.lines_table)
    fits = _fits(hull, lines)
    kind = kind_of(lines) if lines and fits else LinesKind.NONE
    sizes = sizes_of(hull)
    plan = body_plan(_cuts(hull, lines if fits else ()))
    return LinesPage(
        kind=kind,
        fits=fits,
        cautions=lines.cautions if isinstance(lines, Offsets) else (),
        sizes=_sizes(sizes, units),
        spread=f"{sizes.spread_pct:.1f} %",
        how=_how(kind),
        girths=tuple((format_length(x, units), format_length(girth, units)) for x, girth in sizes.girths),
        by_girths=_by_girths(sizes, kind, units),
        plan=plan,
        says=_("Sections from keel to sheer. The fullest is %(beam)s wide, %(depth)s deep; the highest is %(height)s.")
        % {
            "beam": format_length(plan.beam_m, units),
            "depth": format_length(plan.depth_m, units),
            "height": format_length(plan.height_m, units),
        },
        record=LinesRecord.objects.filter(hull=hull).select_related("by").first(),
    )


def body_plan_of(hull: Hull) -> BodyPlan:
    """The sections of one hull, by the most exact of what was measured; its row alone is read."""
    lines = read_kept(hull.lines_table)
    return body_plan(_cuts(hull, lines if _fits(hull, lines) else ()))


def body_plan_version(hull: Hull) -> str:
    """What stands for all the numbers that a body plan is drawn from."""
    numbers = repr((DRAWN_AS, principal_of(hull), hull.hull_type, hull.lines_table))
    return sha256(numbers.encode()).hexdigest()[:16]


def _fits(hull: Hull, lines: Lines) -> bool:
    if isinstance(lines, Offsets) or not lines:
        return True
    try:
        measure_taped(principal_of(hull), lines, HULL_TYPES[hull.hull_type])
    except LinesError:
        return False
    return True


def _cuts(hull: Hull, lines: Lines) -> tuple[Cut, ...]:
    if isinstance(lines, Offsets):
        return sections_of_offsets(lines)
    return sections(principal_of(hull), lines, HULL_TYPES[hull.hull_type])


def _how(kind: LinesKind) -> str:
    return {
        LinesKind.NONE: _(
            "From the four measures and the type of hull. The spread is half the range over fuller and finer hulls of "
            "that type; taped girths make it smaller."
        ),
        LinesKind.TAPED: _(
            "From what was taped, the type filling in between. The spread is half the range over fuller and finer "
            "hulls that fit the same tape, and half a per cent for the tape."
        ),
        LinesKind.OFFSETS: _(
            "From the table of offsets, straight between its points. The spread is what a table of half as many points "
            "would miss, by a third, and half of a sixteenth of an inch in every offset."
        ),
    }[kind]


def _sizes(sizes: Sizes, units: UnitSystem) -> tuple[tuple[str, str], ...]:
    return (
        (_("Outside"), format_area(sizes.outside_area_m2, units)),
        (_("Inside, smooth"), format_area(sizes.inside_area_m2, units)),
        (_("Side view"), format_area(sizes.side_area_m2, units)),
        (_("Greatest girth"), format_length(sizes.greatest_girth_m, units)),
        (_("Sheer, one side"), format_length(sizes.sheer_length_m, units)),
        (_("Keel between the stems"), format_length(sizes.keel_length_m, units)),
        (_("One stem"), format_length(sizes.stem_length_m, units)),
        (_("Volume to the sheer"), _volume(sizes.volume_m3, units)),
    )


def _volume(volume_m3: float, units: UnitSystem) -> str:
    if units is UnitSystem.US:
        return f"{volume_m3 / METRES_PER_FOOT**3:.1f} cu ft"
    return f"{volume_m3:.2f} m³"


def _by_girths(sizes: Sizes, kind: LinesKind, units: UnitSystem) -> str:
    if kind is LinesKind.OFFSETS or len(sizes.girths) != BY_GIRTHS:
        return ""
    return format_area(simpson([girth for __, girth in sizes.girths], sizes.length_m / (BY_GIRTHS - 1)), units)
