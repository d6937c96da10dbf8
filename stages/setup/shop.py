"""An empty shop, ready to take its first hull in."""

from django.db import transaction
from django.utils.translation import gettext_noop

from shop.models import CrewMember, Role, Shop, Station, StationKind, Zone
from shop.setup.shelves import load_products
from stages.setup.route import load_route

ZONES = (("Bench hall", False), ("Finishing room", False), ("Yard", True))
STATIONS = (  # name, kind, zone, places; the shop's owner changes them under Settings
    (gettext_noop("Arrivals rack"), StationKind.RACK, "Bench hall", 2),
    (gettext_noop("Strip bench"), StationKind.STRIP, "Bench hall", 1),
    (gettext_noop("Wood bench"), StationKind.WOOD, "Bench hall", 2),
    (gettext_noop("Canvas rig"), StationKind.CANVAS, "Bench hall", 1),
    (gettext_noop("Yard, outdoors"), StationKind.YARD, "Yard", 2),
    (gettext_noop("Filler bay"), StationKind.FILLER, "Bench hall", 1),
    (gettext_noop("Finishing room"), StationKind.FINISHING, "Finishing room", 2),
    (gettext_noop("Trim bench"), StationKind.TRIM, "Bench hall", 1),
)


@transaction.atomic
def set_up_shop(*, name: str, time_zone: str, owner: str, password: str) -> CrewMember:
    """Make the shop, its stations, products and route, and the log-in of its owner.

    Returns
    -------
    CrewMember
        The shop's owner.
    """
    Shop.objects.update_or_create(pk=1, defaults={"name": name, "time_zone": time_zone})
    if not Station.objects.exists():
        zones = {zone: Zone.objects.create(name=zone, outdoors=outdoors) for zone, outdoors in ZONES}
        for position, (station, kind, zone, places) in enumerate(STATIONS):
            Station.objects.create(name=station, kind=kind, zone=zones[zone], places=places, position=position)
    load_products()
    load_route()
    return CrewMember.objects.create_user(username=owner, password=password, role=Role.OWNER, is_staff=True)
