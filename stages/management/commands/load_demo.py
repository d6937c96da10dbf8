"""`manage.py load_demo`: the demo shop, into an empty database."""

from typing import Any

from django.conf import settings
from django.core.management.base import BaseCommand, CommandError

from stages.demo.load import NotEmptyError, load_demo


class Command(BaseCommand):
    """Loads the demo shop and keeps its log-ins beside the database for whoever starts the shop."""

    help = "Load the demo shop into an empty database."

    def handle(self, *args: Any, **options: Any) -> None:
        """Load it."""
        try:
            log_ins = load_demo()
        except NotEmptyError as error:
            raise CommandError(str(error)) from error
        (settings.VAR_DIR / "demo-logins.txt").write_text(f"{log_ins.at('{address}')}\n")  # `start` knows the address
        self.stdout.write(log_ins.at(settings.PUBLIC_URL))
