"""Write jobs down the way a service does."""

from argparse import ArgumentParser

from django.core.management.base import BaseCommand
from django.db import transaction

from shop.jobs.enqueue import enqueue


class RolledBackError(Exception):
    """The business transaction failed."""


class Command(BaseCommand):
    """Write jobs down; some of them twice, and one in a transaction that fails."""

    def add_arguments(self, parser: ArgumentParser) -> None:
        """Read how many."""
        parser.add_argument("--jobs", type=int, required=True)
        parser.add_argument("--twice", type=int, default=0)
        parser.add_argument("--seconds", type=float, default=0.0)

    def handle(self, **options: object) -> None:
        """Write them down, each in a transaction of its own."""
        jobs, twice, seconds = options["jobs"], options["twice"], options["seconds"]
        assert isinstance(jobs, int)
        assert isinstance(twice, int)
        for number in [*range(jobs), *range(twice)]:
            with transaction.atomic():
                write_down(f"job-{number}", seconds)
        try:
            with transaction.atomic():
                write_down("rolled-back", seconds)
                raise RolledBackError
        except RolledBackError:
            pass


def write_down(key: str, seconds: object) -> None:
    """Write one job down."""
    enqueue(name="test.effect", key=key, payload={"key": key, "seconds": seconds})
