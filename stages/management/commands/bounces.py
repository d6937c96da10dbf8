"""Read letters that came back."""

import mailbox
from argparse import ArgumentParser
from collections.abc import Iterator
from pathlib import Path
from typing import Any

from django.core.management.base import BaseCommand, CommandError

from stages.letters.bounce import Bounce, read_bounce
from stages.services.messages import came_back


class Command(BaseCommand):
    """Mark the letters that came back, from files of mail or a maildir; run again, each counts once."""

    help = "Read bounces (RFC 3464) from files of one message each, or from a maildir."

    def add_arguments(self, parser: ArgumentParser) -> None:
        """Read where they lie."""
        parser.add_argument("paths", nargs="+", type=Path, metavar="FILE_OR_MAILDIR")

    def handle(self, *args: Any, **options: Any) -> None:
        """Read them all and say what came back."""
        for path in options["paths"]:
            if not path.exists():
                raise CommandError(f"There is no {path}.")
        found = came_back(bounce for path in options["paths"] for bounce in _bounces(path))
        for letter in found:
            self.stdout.write(f"{letter.hull.tag} {letter.to_address}: {letter.answer}")
        self.stdout.write(f"{len(found)} came back.")


def _bounces(path: Path) -> Iterator[Bounce]:
    contents = map(bytes, mailbox.Maildir(path, create=False)) if path.is_dir() else [path.read_bytes()]
    for content in contents:
        if (bounce := read_bounce(content)) is not None:
            yield bounce
