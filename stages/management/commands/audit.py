"""`manage.py audit`: replay the log and prove that the tables equal it."""

from typing import Any

from django.core.management.base import BaseCommand, CommandError

from stages.audit import differences
from stages.models import Entry, HullWork


class Command(BaseCommand):
    """Replays every hull's log; names the first difference and exits non-zero."""

    help = "Replay the log, check its seals, and prove that the tables equal it."

    def handle(self, *args: Any, **options: Any) -> None:
        """Run the audit."""
        first = next(differences(), None)
        if first is not None:
            raise CommandError(str(first))
        hulls, lines = HullWork.objects.count(), Entry.objects.count()
        self.stdout.write(f"{hulls} hulls, {lines} lines: the tables equal the log.")
