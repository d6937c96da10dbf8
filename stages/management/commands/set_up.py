"""`manage.py set_up`: an empty shop, ready to take its first hull in."""

from argparse import ArgumentParser
from getpass import getpass
from typing import Any

from django.contrib.auth.password_validation import validate_password
from django.core.exceptions import ValidationError
from django.core.management.base import BaseCommand, CommandError

from shop.models import CrewMember
from shop.models.places import check_time_zone
from stages.setup.shop import set_up_shop


class Command(BaseCommand):
    """Makes the shop, its usual stations, products and route, and the log-in of its owner."""

    help = "Set up an empty shop: stations, products, the route, and the shop owner's log-in."

    def add_arguments(self, parser: ArgumentParser) -> None:
        """Name the shop and its owner."""
        parser.add_argument("--name", default="The shop", help="the shop's name")
        parser.add_argument("--time-zone", default="UTC", help="such as America/Toronto")
        parser.add_argument("--owner", default="owner", help="the shop owner's user name")
        parser.add_argument("--password", help="the shop owner's password; asked for when left out")

    def handle(self, *args: Any, **options: Any) -> None:
        """Set the shop up."""
        if CrewMember.objects.filter(username=options["owner"]).exists():
            raise CommandError(f"There is a log-in “{options['owner']}” already.")
        password = options["password"] or getpass(f"Password for {options['owner']}: ")
        try:
            check_time_zone(options["time_zone"])
            validate_password(password)
        except ValidationError as error:
            raise CommandError(" ".join(error.messages)) from error
        set_up_shop(name=options["name"], time_zone=options["time_zone"], owner=options["owner"], password=password)
        self.stdout.write(f"{options['name']} is set up. Log in as {options['owner']}.")
