"""`manage.py import_readings FILE.csv --sensor NAME`: take in the readings of a logger."""

from argparse import ArgumentParser, ArgumentTypeError
from datetime import tzinfo
from pathlib import Path
from typing import Any, BinaryIO, TextIO, cast

from django.core.management.base import BaseCommand, CommandError, OutputWrapper
from django.utils import timezone
from django.utils.translation import gettext as _

from shop.management.progress import Progress
from shop.models import Sensor, Shop
from shop.readings.file import HowToRead, ReadingFile, open_readings, unit_of
from shop.readings.importing import FileTaken, take_in_file
from shop.readings.rows import FileReading
from shop.readings.saying import said_of
from shop.readings.stamps import zone_named
from shop.sheets.dates import DateOrder
from shop.sheets.problems import RowProblem, SheetError

HEAD = "{:>8} {:>8}  {:<18} {}"


def _zone(text: str) -> tzinfo:
    try:
        return zone_named(text)
    except ValueError as error:
        raise ArgumentTypeError(str(error)) from None


def _opened(path: Path) -> BinaryIO:
    try:
        return path.open("rb")
    except OSError as error:
        words = _("%(file)s cannot be read: %(why)s") % {"file": path, "why": error.strerror}
        raise CommandError(words) from error


class Command(BaseCommand):
    """Reads a file of any size row by row, reports every problem, and takes in the good rows."""

    help = "Take in a logger's CSV file. Bad rows are listed, and the command then ends with status 1."

    def add_arguments(self, parser: ArgumentParser) -> None:
        """Name the file, the logger, and what the file does not say of itself."""
        parser.add_argument("file", type=Path, help="CSV file: comma, semicolon or tab; UTF-8, UTF-16 or Windows-1252")
        parser.add_argument("--sensor", required=True, help="the logger's name; see add_sensor")
        parser.add_argument("--dry-run", action="store_true", help="check the file and write nothing")
        parser.add_argument(
            "--time-zone",
            type=_zone,
            help="zone of the logger's clock (Europe/Paris, UTC+01:00); the shop's when left out, and a zone that the "
            "file names above its stamps counts first",
        )
        parser.add_argument(
            "--date-order", choices=[order.value for order in DateOrder], help="order of dates that are not ISO 8601"
        )
        parser.add_argument(
            "--unit", choices=["c", "f"], help="°C or °F, where the file says neither; the sensor's when left out"
        )

    def handle(self, *args: Any, **options: Any) -> None:
        """Read, report, take in."""
        sensor = Sensor.objects.filter(name=options["sensor"]).first()
        if sensor is None:
            names = ", ".join(Sensor.objects.values_list("name", flat=True))
            raise CommandError(_("There is no such sensor. The sensors are: %(names)s") % {"names": names or "-"})
        shop_zone = Shop.the_one().zone_info
        order = DateOrder(options["date_order"]) if options["date_order"] else None
        how = HowToRead(
            zone=options["time_zone"] or shop_zone, date_order=order, unit=options["unit"] or unit_of(sensor)
        )
        with _opened(options["file"]) as file, timezone.override(shop_zone):
            try:
                taken = self._take_in(open_readings(file), how, sensor, options["dry_run"])
            except SheetError as error:
                raise CommandError(str(error)) from error
            self._sum_up(taken, check_only=options["dry_run"])

    def _take_in(self, file: ReadingFile, how: HowToRead, sensor: Sensor, check_only: bool) -> FileTaken:
        if file.columns.unknown:
            self.stderr.write(_("Columns left aside: %(titles)s") % {"titles": ", ".join(file.columns.unknown)})
        report = _Report(file, self.stdout, cast(TextIO, self.stderr))
        try:
            return take_in_file(
                file=file,
                how=how,
                sensor=sensor,
                by=None,
                now=timezone.now(),
                watch=report.see,
                check_only=check_only,
            )
        finally:
            report.close()

    def _sum_up(self, taken: FileTaken, *, check_only: bool) -> None:
        words = said_of(taken, check_only=check_only)
        if taken.bad:
            raise CommandError("\n".join(words))
        self.stdout.write("\n".join(words))


class _Report:
    """What is shown while it goes on: the table of problems, and a progress bar."""

    def __init__(self, file: ReadingFile, out: OutputWrapper, err: TextIO) -> None:
        self._file, self._out, self._bar = file, out, Progress(err, _("Reading"))
        self._headed = False

    def see(self, found: FileReading | RowProblem) -> None:
        """Show one row."""
        if isinstance(found, RowProblem):
            self._bar.clear()
            if not self._headed:
                self._out.write(HEAD.format(_("row"), _("line"), _("column"), _("what is wrong")))
                self._headed = True
            self._out.write(HEAD.format(found.row, found.line, found.column or "-", found.reason))
        self._bar.show(self._file.bytes_read / self._file.size)

    def close(self) -> None:
        """Take the bar away."""
        self._bar.clear()
