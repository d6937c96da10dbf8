"""The demo shop's hours, days off and skills: who is there when, and who does what."""

from datetime import datetime, time, timedelta
from zoneinfo import ZoneInfo

from shop.models import CrewMember, Skill
from shop.services.hours import DayHours, add_days_off, set_week

SKILLED = {"Wood": ("owner", "crew"), "Canvas": ("crew", "ines"), "Finishing": ("owner", "ines")}
NOON, ONE = time(12), time(13)
WHOLE = DayHours(starts=time(8), ends=time(17), break_starts=NOON, break_ends=ONE)
MORNING = DayHours(starts=time(8), ends=NOON)
WEEKS = {
    "owner": {0: MORNING, 1: MORNING, 2: WHOLE, 3: WHOLE, 4: MORNING},  # the afternoons go to letters and books
    "crew": dict.fromkeys(range(5), WHOLE),
    "ines": {**dict.fromkeys(range(4), WHOLE), 4: DayHours(starts=time(7, 30), ends=time(13, 30))},
}


def load_hours(people: list[CrewMember], now: datetime, tz: ZoneInfo) -> None:
    """Note the hours of the week, two days off next week, and who does what."""
    crew = {person.username: person for person in people}
    for username, week in WEEKS.items():
        set_week(person=crew[username], week=week)
    today = now.astimezone(tz).date()
    monday = today + timedelta(days=7 - today.weekday())
    add_days_off(
        person=crew["ines"], first=monday + timedelta(days=3), last=monday + timedelta(days=4), reason="at the lake"
    )
    for name, usernames in SKILLED.items():
        Skill.objects.get(name=name).people.set([crew[username] for username in usernames])
