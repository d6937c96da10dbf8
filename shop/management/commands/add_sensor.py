"""`manage.py add_sensor NAME --zone ZONE`: add a sensor, and show its token once."""

from argparse import ArgumentParser
from typing import Any

from django.core.management.base import BaseCommand, CommandError
from django.utils.translation import gettext as _

from shop.models import Sensor, Zone
from shop.services.sensors import add_sensor


class Command(BaseCommand):
    """Adds a sensor or a logger to a zone."""

    help = "Add a sensor to a zone and show its token, this once. A logger without a token gets its readings by file."

    def add_arguments(self, parser: ArgumentParser) -> None:
        """Name the sensor and its zone."""
        parser.add_argument("name", help="what the shop calls it")
        parser.add_argument("--zone", required=True, help="whose air it reads")
        parser.add_argument("--every", type=int, default=5, metavar="MINUTES", help="minutes between its readings")
        parser.add_argument("--no-token", action="store_true", help="it sends nothing itself; its file is brought")

    def handle(self, *args: Any, **options: Any) -> None:
        """Add it."""
        name, every_min = options["name"].strip(), options["every"]
        zone = Zone.objects.filter(name=options["zone"]).first()
        if zone is None:
            zones = ", ".join(Zone.objects.values_list("name", flat=True))
            raise CommandError(_("There is no such zone. The zones are: %(zones)s") % {"zones": zones})
        if not name or Sensor.objects.filter(name=name).exists():
            raise CommandError(_("The name is taken, or empty. Choose another."))
        if not 1 <= every_min <= 1440:
            raise CommandError(_("A sensor reads every 1 to 1440 minutes."))
        sensor, token = add_sensor(name=name, zone=zone, every_min=every_min, sends=not options["no_token"], by=None)
        self.stdout.write(_("%(sensor)s reads the air of %(zone)s.") % {"sensor": sensor, "zone": zone})
        if token:
            self.stdout.write(_("Its token, which is shown this once: %(token)s") % {"token": token})
