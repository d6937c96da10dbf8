"""`manage.py takeoff --length "16 ft" --beam "34.5 in" --depth "12.5 in" --end-depth "24 in"`: what does it need?"""

import json
import math
from argparse import ArgumentParser
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path
from stat import S_ISDIR, S_ISREG
from typing import Any

from django.core.management.base import BaseCommand, CommandError
from django.db import DatabaseError
from django.utils.translation import gettext as _

from hulls.lines import DEFAULT, HULL_TYPES, LinesError, Offsets, Principal, Sizes, measure, measure_offsets
from hulls.materials import shop_materials, usual_materials
from hulls.offsets.reading import TableError, read_table
from hulls.takeoff import USUAL_WORK, Canvas, Cloth, Item, Material, TakeOff, TakeOffError, take_off
from hulls.takeoff.work import COUNTED
from shop.sheets.problems import SheetError
from shop.units import UnitError, UnitSystem, format_length, parse_length
from shop.units.errors import quoted

MEASURES = ("length", "beam", "depth", "end_depth")
LARGEST = 5_000_000  # bytes of a table: far beyond the points that a hull may have
SHOWN = 5  # problems of a file that are listed


class Command(BaseCommand):
    """Shows the sizes of a hull, its blank of canvas, and what the usual work on it takes."""

    help = (
        "Show what a hull needs: from four tape measures and a type, or from a table of offsets (CSV with the columns "
        "station_m,height_m,half_breadth_m). The products are the shop's, or the usual ones where there is no shop yet."
    )

    def add_arguments(self, parser: ArgumentParser) -> None:
        """Name the hull and the work."""
        for name in MEASURES:
            parser.add_argument(
                f"--{name.replace('_', '-')}", metavar="LENGTH", help='like "16 ft", "34 1/2 in", "4.9 m"'
            )
        parser.add_argument("--type", metavar="NAME", help=", ".join(HULL_TYPES))
        parser.add_argument("--offsets", type=Path, metavar="FILE.csv")
        for name in COUNTED:
            parser.add_argument(f"--{name}", type=int, default=0, metavar="N", help=f"{name} to renew")
        parser.add_argument("--json", action="store_true", help="as JSON")

    def handle(self, *args: Any, **options: Any) -> None:
        """Measure, reckon, show."""
        try:
            table = _table(options) if options["offsets"] else None
            sizes = measure_offsets(table) if table else _from_measures(options)
            work = replace(USUAL_WORK, **{name: options[name] for name in COUNTED})
            found = take_off(sizes, work, _materials())
        except (LinesError, TakeOffError) as error:
            raise CommandError(error.message) from error
        for caution in table.cautions if table else ():
            out = self.stderr if options["json"] else self.stdout
            out.write(self.style.WARNING(_("Caution: %(says)s") % {"says": caution}))
        if options["json"]:
            self.stdout.write(json.dumps(_plain(sizes, found), indent=2))
        else:
            self.stdout.write("\n".join(_words(sizes, found)))


def _from_measures(options: dict[str, Any]) -> Sizes:
    missing = [f"--{name.replace('_', '-')}" for name in MEASURES if options[name] is None]
    if missing:
        raise CommandError(
            _("Give the four measures, or --offsets: %(names)s missing.") % {"names": ", ".join(missing)}
        )
    key = DEFAULT.key if options["type"] is None else options["type"].strip().casefold()
    if key not in HULL_TYPES:
        raise CommandError(
            _("There is no type %(key)s; there are %(all)s.") % {"key": quoted(key), "all": ", ".join(HULL_TYPES)}
        )
    length_m, beam_m, depth_m, end_depth_m = (_length(name, options[name]) for name in MEASURES)
    principal = Principal(length_m=length_m, beam_m=beam_m, depth_m=depth_m, end_depth_m=end_depth_m)
    return measure(principal, HULL_TYPES[key])


def _length(name: str, typed: str) -> float:
    try:
        return parse_length(typed)
    except UnitError as error:
        raise CommandError(f"--{name.replace('_', '-')}: {error}") from error


def _table(options: dict[str, Any]) -> Offsets:
    beside = [f"--{name.replace('_', '-')}" for name in (*MEASURES, "type") if options[name] is not None]
    if beside:
        raise CommandError(_("A table of offsets stands alone: leave out %(names)s.") % {"names": ", ".join(beside)})
    path: Path = options["offsets"]
    try:
        status = path.stat()
        if not (S_ISREG(status.st_mode) or S_ISDIR(status.st_mode)):
            raise CommandError(_("%(file)s is a pipe or a device. Save the table in a file first.") % {"file": path})
        if status.st_size > LARGEST:
            raise CommandError(_("%(file)s is larger than 5 MB: no table of offsets is.") % {"file": path})
        with path.open("rb") as file:
            table = read_table(file)
    except TableError as error:
        rows = "\n".join(_row(problem) for problem in error.problems[:SHOWN])
        raise CommandError(f"{path}: {error}\n{rows}") from error
    except SheetError as error:
        raise CommandError(f"{path}: {error}") from error
    except OSError as error:
        raise CommandError(_("%(file)s cannot be read: %(why)s.") % {"file": path, "why": error.strerror}) from error
    if not isinstance(table, Offsets):
        raise CommandError(_("%(file)s is no table of offsets: it has no column of heights.") % {"file": path})
    return table


def _row(problem: Any) -> str:
    column = f" ({problem.column})" if problem.column else ""
    return _("Line %(line)s%(column)s: %(why)s") % {"line": problem.line, "column": column, "why": problem.reason}


def _materials() -> tuple[Material, ...]:
    """The shop's products; the usual ones where there is no database, or nothing in it."""
    try:
        return shop_materials() or usual_materials()
    except DatabaseError:
        return usual_materials()


def _plain(sizes: Sizes, found: TakeOff) -> dict[str, Any]:
    return {
        "outside_area_m2": sizes.outside_area_m2,
        "greatest_girth_m": sizes.greatest_girth_m,
        "sheer_length_m": sizes.sheer_length_m,
        "volume_m3": sizes.volume_m3,
        "spread_pct": sizes.spread_pct,
        "canvas": _plain_canvas(found.canvas) if found.canvas else None,
        "items": [_plain_item(item) for item in found.items],
        "unknown": list(found.unknown),
    }


def _plain_canvas(canvas: Canvas) -> dict[str, Any]:
    return {
        "blank_length_m": canvas.blank_length_m,
        "width_needed_m": canvas.width_needed_m,
        "roll_width_in": canvas.roll_width_in,
        "weight_kg": canvas.weight_kg,
        "others": [_plain_cloth(cloth) for cloth in canvas.others],
        "advice": canvas.advice,
    }


def _plain_cloth(cloth: Cloth) -> dict[str, Any]:
    return {"product": cloth.product, "roll_width_in": cloth.roll_width_in, "weight_kg": cloth.weight_kg}


def _plain_item(item: Item) -> dict[str, Any]:
    packs = [{"called": found.pack.called, "amount": found.pack.amount, "count": found.count} for found in item.packs]
    return {"product": item.product, "amount": float(item.amount), "unit": item.unit, "packs": packs}


def _cloths(canvas: Canvas) -> Iterator[str]:
    """The cloth that is taken, what to know of it, and the others that would do."""

    def said(cloth: Cloth) -> str:
        weight = "" if cloth.weight_kg is None else f", {cloth.weight_kg:.2f} kg"
        return f"{cloth.product}, {cloth.roll_width_in:g} in{weight}"

    if canvas.cloth:
        yield said(canvas.cloth)
    yield from (_("or %(cloth)s") % {"cloth": said(cloth)} for cloth in canvas.others)
    yield _(canvas.advice)


def _words(sizes: Sizes, found: TakeOff) -> Iterator[str]:
    def length(value_m: float) -> str:
        return f"{format_length(value_m, UnitSystem.METRIC)} ({format_length(value_m, UnitSystem.US)})"

    spread = {"area": f"{sizes.outside_area_m2:.2f}", "pct": math.ceil(sizes.spread_pct)}
    yield _("Outside            %(area)s m², give or take %(pct)s %%") % spread
    yield _("Greatest girth     %(length)s") % {"length": length(sizes.greatest_girth_m)}
    yield _("Sheer, one side    %(length)s") % {"length": length(sizes.sheer_length_m)}
    yield _("Volume             %(volume)s m³") % {"volume": f"{sizes.volume_m3:.3f}"}
    if found.canvas:
        blank = {"long": length(found.canvas.blank_length_m), "wide": length(found.canvas.width_needed_m)}
        yield _("Canvas             %(long)s long, at least %(wide)s wide") % blank
        yield from (f"{'':<19}{line}" for line in _cloths(found.canvas))
    yield ""
    for item in found.items:
        packs = ", ".join(f"{packed.count} × {packed.pack.called}" for packed in item.packs) or _("no pack will do")
        yield f"{item.product:<44} {item.amount:>9.2f} {item.unit:<3} {packs}"
    if found.unknown:
        yield _("Too little is known of: %(kinds)s") % {"kinds": ", ".join(found.unknown)}
