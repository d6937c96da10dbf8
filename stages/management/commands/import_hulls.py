"""`manage.py import_hulls FILE.csv`: take in the hulls of a spreadsheet."""

from argparse import ArgumentParser
from pathlib import Path
from typing import Any, TextIO, cast

from django.core.management.base import BaseCommand, CommandError, OutputWrapper
from django.utils import timezone
from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from hulls.intake import DateOrder, HullRow, HullSheet, RowProblem, SheetError, open_sheet
from shop.management.progress import Progress
from shop.models import CrewMember, Role, Shop
from stages.engine.errors import EngineError
from stages.services.intake import Intake, take_in_sheet

HEAD = "{:>6} {:>6}  {:<18} {}"


class Command(BaseCommand):
    """Checks every row, reports every problem, and takes in the hulls when all is well."""

    help = "Take in the hulls of a CSV file. Bad rows are listed, and the command then ends with status 1."

    def add_arguments(self, parser: ArgumentParser) -> None:
        """Name the file and what to do with it."""
        parser.add_argument("file", type=Path, help="CSV file: comma, semicolon or tab; UTF-8 or Windows-1252")
        parser.add_argument("--dry-run", action="store_true", help="check the file and write nothing")
        parser.add_argument("--keep-good", action="store_true", help="take in the good rows though others are bad")
        parser.add_argument(
            "--date-order", choices=[order.value for order in DateOrder], help="order of dates that are not ISO 8601"
        )
        parser.add_argument("--by", metavar="USER", help="who takes them in; the first shop owner when left out")

    def handle(self, *args: Any, **options: Any) -> None:
        """Check, report, take in."""
        by = self._person(options["by"])
        try:
            with options["file"].open("rb") as file:
                intake = self._take_in(open_sheet(file), by, options)
        except OSError as error:
            words = _("%(file)s cannot be read: %(why)s") % {"file": options["file"], "why": error.strerror}
            raise CommandError(words) from error
        except (SheetError, EngineError) as error:
            raise CommandError(str(error)) from error
        self._sum_up(intake, dry_run=options["dry_run"])

    def _person(self, username: str | None) -> CrewMember:
        people = CrewMember.objects.filter(is_active=True, role__in=(Role.OWNER, Role.CREW)).order_by("pk")
        found = people.filter(username=username) if username else people.filter(role=Role.OWNER)
        if person := found.first():
            return person
        raise CommandError(_("Nobody of that name may take in hulls. Name somebody with --by."))

    def _take_in(self, sheet: HullSheet, by: CrewMember, options: dict[str, Any]) -> Intake:
        if sheet.unknown:
            self.stderr.write(_("Columns left aside: %(titles)s") % {"titles": ", ".join(sheet.unknown)})
        report = _Report(sheet, self.stdout, cast(TextIO, self.stderr))
        try:
            return take_in_sheet(
                sheet=sheet,
                by=by,
                now=timezone.localtime(timezone=Shop.the_one().zone_info),
                watch=report.checked,
                wrote=report.wrote,
                date_order=DateOrder(options["date_order"]) if options["date_order"] else None,
                keep_good=options["keep_good"],
                dry_run=options["dry_run"],
            )
        finally:
            report.close()

    def _sum_up(self, intake: Intake, *, dry_run: bool) -> None:
        hulls = ngettext("%(count)d hull taken in.", "%(count)d hulls taken in.", intake.taken_in)
        words = [
            _("%(good)d good rows, %(bad)d bad ones.") % {"good": intake.good, "bad": intake.bad},
            _("Dry run: nothing was written.") if dry_run else hulls % {"count": intake.taken_in},
        ]
        if intake.bad:
            raise CommandError(" ".join(words))
        self.stdout.write(" ".join(words))


class _Report:
    """What is shown while it goes on: the table of problems, and a progress bar."""

    def __init__(self, sheet: HullSheet, out: OutputWrapper, err: TextIO) -> None:
        self._sheet, self._out = sheet, out
        self._checking, self._writing = Progress(err, _("Checking")), Progress(err, _("Taking in"))
        self._good = 0
        self._headed = False

    def checked(self, found: HullRow | RowProblem) -> None:
        """Show one row as checked."""
        if isinstance(found, HullRow):
            self._good += 1
        else:
            self._checking.clear()
            if not self._headed:
                self._out.write(HEAD.format(_("row"), _("line"), _("column"), _("what is wrong")))
                self._headed = True
            self._out.write(HEAD.format(found.row, found.line, found.column or "-", found.reason))
        self._checking.show(self._sheet.bytes_read / self._sheet.size)

    def wrote(self, count: int) -> None:
        """Show how many hulls are written."""
        self._checking.clear()
        self._writing.show(count / self._good)

    def close(self) -> None:
        """Take the bar away."""
        self._checking.clear()
        self._writing.clear()
