"""`manage.py air --temp 16C --rh 71 --surface 13C`: what the engine makes of the air."""

from argparse import ArgumentParser
from typing import Any

from django.core.management.base import BaseCommand, CommandError
from django.utils.translation import gettext as _

from stages.engine.air import (
    DEW_MARGIN_C,
    check_air,
    check_surface,
    deficit_pa,
    dew_point_c,
    margin_c,
    may_paint,
    vapour_pressure_pa,
)
from stages.engine.errors import EngineError
from stages.engine.wood import emc_pct
from stages.management.writing import let_numbers_be_negative, shown, temperature


class Command(BaseCommand):
    """Shows dew point, vapour pressure, deficit, the wood's equilibrium moisture and whether a coat may go on."""

    help = "Show what the engine makes of one air: dew point, deficit, wood moisture, and whether a coat may go on."

    def add_arguments(self, parser: ArgumentParser) -> None:
        """Name the air and the surface."""
        let_numbers_be_negative(parser)
        parser.add_argument("--temp", type=temperature, required=True, metavar="16C", help="air temperature, C or F")
        parser.add_argument("--rh", type=float, required=True, metavar="71", help="relative humidity, %%")
        parser.add_argument(
            "--surface", type=temperature, metavar="13C", help="surface temperature; the air's if left out"
        )
        parser.add_argument("--json", action="store_true", help="as JSON")

    def handle(self, *args: Any, **options: Any) -> None:
        """Reckon and show."""
        air_c, rh_pct = options["temp"], options["rh"]
        surface_c = air_c if options["surface"] is None else options["surface"]
        try:
            check_air(air_c, rh_pct)
            check_surface(surface_c)
        except EngineError as error:
            raise CommandError(error.message) from error
        found = {
            "dew_point_c": round(float(dew_point_c(air_c, rh_pct)), 4),
            "vapour_pressure_pa": round(float(vapour_pressure_pa(air_c, rh_pct)), 2),
            "deficit_pa": round(float(deficit_pa(air_c, rh_pct)), 2),
            "wood_emc_pct": round(float(emc_pct(air_c, rh_pct)), 4),
            "margin_c": round(float(margin_c(air_c, rh_pct, surface_c)), 4),
            "paint_ok": may_paint(air_c, rh_pct, surface_c),
        }
        words = {
            "dew_point_c": _("Dew point, °C"),
            "vapour_pressure_pa": _("Vapour pressure, Pa"),
            "deficit_pa": _("Vapour-pressure deficit, Pa"),
            "wood_emc_pct": _("Wood tends to, % moisture"),
            "margin_c": _("Surface above the dew point, °C (%(least).0f needed)") % {"least": DEW_MARGIN_C},
            "paint_ok": _("Dry enough for a coat, as to dew and damp"),
        }
        self.stdout.write(shown(found, words, as_json=options["json"]))
