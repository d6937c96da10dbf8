"""`manage.py dryclock --hours 16 --at-temp 23C --applied TIME --readings FILE.csv`: when is the coat dry?"""

import math
from argparse import ArgumentParser
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

from django.conf import settings
from django.core.management.base import BaseCommand, CommandError
from django.utils.translation import gettext as _

from shop.models import Product
from stages.engine.airlog import HOUR_S, AirLog, seconds_of
from stages.engine.alongair import AlongAir, below
from stages.engine.dryclock import age, dry_at
from stages.engine.errors import EngineError
from stages.engine.label import Dryness, Family, Label
from stages.management.airfile import AirFileError, read_air
from stages.management.writing import (
    drying_table,
    hours,
    let_numbers_be_negative,
    moment,
    shown,
    temperature,
    zone,
)
from stages.queries.learnt import shop_factors
from stages.queries.world import engine_product

FAMILIES = {"oil": Family.OXIDATIVE, "water": Family.WATER, "solvent": Family.SOLVENT}
LOWEST_C = 5.0
FLOATS_BLUR_S = 1e-4  # a moment may come out this much late


class Command(BaseCommand):
    """Shows a coat's age in hours at the label's reference, and when it reaches the label's hours."""

    help = (
        "Show how far a coat has dried over the readings of a CSV file (at,temp_c,rh_pct), and when it is dry. "
        "After the last reading its air is held."
    )

    def add_arguments(self, parser: ArgumentParser) -> None:
        """Name the label, the coat and its air."""
        let_numbers_be_negative(parser)
        says = parser.add_mutually_exclusive_group(required=True)
        says.add_argument("--product", metavar="NAME", help="a product, with what the shop learnt of it")
        says.add_argument("--hours", type=hours, metavar="16", help="the label's hours at --at-temp")
        parser.add_argument("--at-temp", type=temperature, default=23.0, metavar="23C", help="the label's temperature")
        speeds = parser.add_mutually_exclusive_group()
        speeds.add_argument("--q10", type=float, metavar="2", help="times faster for each 10 C more")
        speeds.add_argument("--label", type=drying_table, default=(), metavar="10C:36h,23C:16h,35C:9h")
        parser.add_argument("--family", choices=FAMILIES, default="oil", help="how the film dries")
        parser.add_argument(
            "--lowest",
            type=temperature,
            metavar="5C",
            help="below it the film stands still; 5C if left out, or the coldest that the label speaks of",
        )
        parser.add_argument(
            "--to", type=Dryness, choices=list(Dryness), default=Dryness.RECOAT, help="how dry it is to be"
        )
        parser.add_argument("--applied", required=True, metavar="TIME", help="when the coat went on, ISO 8601")
        parser.add_argument("--until", metavar="TIME", help="dry by then? the last reading if left out")
        parser.add_argument("--readings", type=Path, required=True, metavar="FILE.csv")
        parser.add_argument("--zone", type=zone, default=settings.TIME_ZONE, help="of moments without an offset")
        parser.add_argument("--json", action="store_true", help="as JSON")

    def handle(self, *args: Any, **options: Any) -> None:
        """Read, reckon, show."""
        try:
            label, factor = _product(options["product"]) if options["product"] else (_label(options), 1.0)
            log = read_air(options["readings"], options["zone"])
            applied = moment(options["applied"], options["zone"])
            until = moment(options["until"], options["zone"]) if options["until"] else _last(log, applied)
            found = _answer(label, factor, log, applied, until, options["to"])
        except EngineError as error:
            raise CommandError(error.message) from error
        except (AirFileError, ValueError) as error:
            raise CommandError(str(error)) from error
        still_h = _still_h(label, log, applied, until)
        words = {
            "age_h": _("Age, hours at the label's reference"),
            "needed_h": _("Needed, hours at the label's reference"),
            "dry": _("Dry at %(moment)s") % {"moment": until.isoformat(sep=" ", timespec="minutes")},
            "dry_at": _("Dry from"),
            "assumed_h": _("Hours of air that nobody measured"),
        }
        if still_h and not options["json"]:
            found["still_h"] = still_h
            words["still_h"] = _("Hours under %(lowest)g °C, in which it stands still") % {"lowest": label.lowest_c}
        self.stdout.write(shown(found, words, as_json=options["json"]))


def _product(name: str) -> tuple[Label, float]:
    """Find a product's label, and the shop's factor on its hours."""
    row = Product.objects.filter(name__iexact=name).first()
    label = engine_product(row).label if row else None
    if row is None or label is None:
        raise EngineError("product", _("The shop has no drying product of that name."))
    learnt = shop_factors({row.pk: label}).get(row.pk)
    return label, learnt.factor if learnt else 1.0


def _label(options: dict[str, Any]) -> Label:
    # A label that gives hours for colder air than the usual lowest speaks for itself.
    spoken_of = (LOWEST_C, options["at_temp"], *(celsius for celsius, _hours in options["label"]))
    return Label(
        family=FAMILIES[options["family"]],
        hours={options["to"]: options["hours"]},
        reference_c=options["at_temp"],
        q10=options["q10"],
        table=options["label"],
        lowest_c=min(spoken_of) if options["lowest"] is None else options["lowest"],
    )


def _last(log: AirLog, applied: datetime) -> datetime:
    if log.measured_span_s is None:
        return applied
    return datetime.fromtimestamp(log.measured_span_s[1], applied.tzinfo or UTC)


def _still_h(label: Label, log: AirLog, applied: datetime, until: datetime) -> float:
    """Hours from applied to until in which the film stands still for cold."""
    start_s, end_s = seconds_of(applied), seconds_of(until)
    if end_s <= start_s:
        return 0.0
    along = AlongAir.of(log, start_s, end_s)
    return sum(end - begin for begin, end in below(along.seconds, along.air_c, label.lowest_c)) / HOUR_S


def _answer(
    label: Label, factor: float, log: AirLog, applied: datetime, until: datetime, dryness: Dryness
) -> dict[str, object]:
    gone = age(label, log, applied, until, factor)
    reached = dry_at(label, log, applied, dryness, factor)
    # By seconds since 1970: what the clock on the wall shows goes back in autumn.
    reached_s = seconds_of(reached.at) - FLOATS_BLUR_S if reached.at else math.inf
    # Up to the next whole second: asked about again at just that moment, it is dry.
    second = datetime.fromtimestamp(math.ceil(reached_s), applied.tzinfo) if reached.at else None
    return {
        "age_h": round(gone.hours, 6),
        "needed_h": reached.needed_h,
        "dry": reached_s <= seconds_of(until),
        "dry_at": second.isoformat(timespec="seconds") if second else None,
        "assumed_h": round(gone.assumed_h, 6),
    }
