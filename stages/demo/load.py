"""Loads the demo shop into an empty database."""

from dataclasses import dataclass
from datetime import datetime, timedelta
from zoneinfo import ZoneInfo

from django.utils import timezone

from hulls.lines import Taped
from hulls.models import Hull, Owner
from hulls.services.lines import record_lines
from shop.models import CrewMember, Pulse, Role, Shop, Station, Zone
from shop.setup.shelves import load_products
from stages.demo.cast import BOATS, PEOPLE, STATIONS, ZONES, Boat
from stages.demo.driver import Driver
from stages.demo.letters import tell_latest, write_to_owners
from stages.demo.money import CHARGES, ask_owners, load_prices, load_taxes
from stages.demo.people import load_hours
from stages.demo.pictures import show_photos
from stages.demo.sensors import load_sensors
from stages.demo.stores import load_suppliers, order_some
from stages.demo.thread import write_to_each_other
from stages.demo.trials import try_coats
from stages.demo.weather import load_air
from stages.services import notes
from stages.services.arrival import take_in
from stages.services.links import renew_link
from stages.setup.route import load_route

TIME_ZONE = "America/Toronto"
LINKED = "H-097"


class NotEmptyError(RuntimeError):
    """The database holds a shop already."""


@dataclass(frozen=True, slots=True)
class LogIns:
    """What a visitor of the demo shop needs to know."""

    people: tuple[tuple[str, str, str], ...]
    link: str

    def at(self, address: str) -> str:
        """What to tell somebody who reaches the shop at an address."""
        lines = [f"  {username:<6} {password:<18} {role}" for username, password, role in self.people]
        return "\n".join(["Log-ins of the demo shop:", *lines, f"  {LINKED}'s owner opens {address}{self.link}"])


def load_demo(now: datetime | None = None) -> LogIns:
    """Invent a shop with fourteen hulls and live through its last weeks.

    Raises
    ------
    NotEmptyError
        When somebody has a log-in already.
    """
    if CrewMember.objects.exists():
        raise NotEmptyError("There is a shop in this database already.")
    now = now or timezone.now()
    with Pulse.held():
        people = _set_up(now)
        crew = [person for person in people if person.role != Role.LOOK]
        driver = Driver(crew=crew, now=now, tz=ZoneInfo(TIME_ZONE), arrive=_arrive)
        for boat in BOATS:
            driver.take_on(boat, now - timedelta(days=boat.came, hours=5))
        driver.run()
        driver.stock_up(BOATS)
        write_to_owners(driver)
        ask_owners(driver)
        try_coats(driver)
        show_photos(driver, driver.hulls)
        load_sensors(now, by=people[0])
        order_some(now, people[0])
        token = renew_link(hull_id=driver.hulls[LINKED].pk, hand=driver.hand(now))
        write_to_each_other(driver)
        tell_latest(driver, LINKED)
    shown = tuple((p.username, p.password, str(p.role.label)) for p in PEOPLE)
    return LogIns(people=shown, link=f"/p/{token}/")


def _set_up(now: datetime) -> list[CrewMember]:
    Shop.objects.create(
        pk=1,
        name="Alder Landing Canoe Works",
        place="Alder Landing",
        email="shop@example.org",
        time_zone=TIME_ZONE,
        country="CA",
        region="ON",
        is_demo=True,
        **CHARGES,
    )
    load_taxes()
    people = [
        CrewMember.objects.create_user(
            username=p.username,
            password=p.password,
            first_name=p.first_name,
            last_name=p.last_name,
            role=p.role,
            is_staff=p.role == Role.OWNER,
            email=f"{p.username}@example.org",
        )
        for p in PEOPLE
    ]
    zones = {
        name: Zone.objects.create(name=name, outdoors=outdoors, volume_m3=volume)
        for name, outdoors, *_air, volume in ZONES
    }
    for position, (name, kind, zone, places) in enumerate(STATIONS):
        Station.objects.create(name=name, kind=kind, zone=zones[zone], places=places, position=position)
    load_air(zones, now)
    load_products()
    load_prices()
    load_suppliers()
    load_route()
    load_hours(people, now, ZoneInfo(TIME_ZONE))
    return people


def _arrive(driver: Driver, boat: Boat, at: datetime) -> Hull:
    today = driver.now.astimezone(driver.tz).date()
    hull = Hull(
        tag=boat.tag,
        name=boat.name,
        owner=Owner.objects.create(
            name=boat.owner, email=f"{boat.owner.split()[0].lower()}@example.org", language=boat.language
        ),
        length_m=boat.length_m,
        beam_m=boat.beam_m,
        depth_m=boat.depth_m,
        end_depth_m=boat.end_depth_m,
        wood=boat.wood,
        filler=boat.filler,
        inside_varnish=boat.inside,
        colour=boat.colour,
        colour_name=boat.colour_name,
        old_colour=boat.old_colour,
        arrived_on=at.date(),
        promised_on=today + timedelta(days=boat.promised),
        priority=boat.priority,
    )
    take_in(hull=hull, hand=driver.hand(at))
    rack = Station.objects.get(kind="rack")
    notes.move_hull(hull_id=hull.pk, station=rack.pk, hand=driver.hand(at))
    if boat.taped:
        stations = tuple(Taped(x_m=x_m, girth_m=girth_m, half_breadth_m=half_m) for x_m, girth_m, half_m in boat.taped)
        record_lines(hull_id=hull.pk, lines=stations, by=driver.hand(at).by, now=at)
    if boat.holds_at != "survey":
        _survey(driver, hull, boat, at + timedelta(minutes=5))
    return hull


def _survey(driver: Driver, hull: Hull, boat: Boat, at: datetime) -> None:
    conditions = {"brightwork": boat.brightwork, "inside": "flaking", "skin": "flaking", "planking": "sound"}
    notes.write_survey(hull_id=hull.pk, counts=boat.counts, conditions=conditions, hand=driver.hand(at))
    notes.record_lead_test(hull_id=hull.pk, positive=boat.lead, hand=driver.hand(at), how="swab, two places")
