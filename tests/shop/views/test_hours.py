"""Hours and days off: everybody's week, days off, closing days, holidays."""

from datetime import date, timedelta
from typing import Any

import pytest
from django.test import Client
from django.urls import reverse
from django.utils import timezone

from shop.models import CrewMember, DayOff, Shop, WorkDay, WorkedHoliday
from shop.working_hours import A_DAY, Calendars
from tests.factories import a_crew_member, a_shop, the_shop_owner

pytestmark = pytest.mark.django_db

TODAY = timezone.now().date()


@pytest.fixture
def ines() -> CrewMember:
    a_shop()
    return a_crew_member("ines")


@pytest.fixture
def as_ines(client: Client, ines: CrewMember) -> Client:
    client.force_login(ines)
    return client


@pytest.fixture
def owner(ines: CrewMember) -> Client:
    client = Client()
    client.force_login(the_shop_owner())
    return client


def week(**days: tuple[str, str, str, str]) -> dict[str, str]:
    """What a browser sends of a week; days that are not named are left empty."""
    names = ("starts", "ends", "break_starts", "break_ends")
    sent = {f"day{number}-{name}": "" for number in range(7) for name in names}
    for day, typed in days.items():
        sent |= {f"{day}-{name}": text for name, text in zip(names, typed, strict=True)}
    return sent


def calendars() -> Calendars:
    """The shop's calendars over the coming year."""
    return Calendars.of(Shop.the_one(), TODAY, TODAY + timedelta(days=366))


def test_whoever_said_nothing_works_the_usual_hours(as_ines: Client, ines: CrewMember) -> None:
    page = as_ines.get(reverse("hours")).content.decode()
    assert "Monday – Friday" in page
    assert "40 h a week" in page
    monday = date(2026, 5, 4)
    assert calendars().hours_on(ines.pk, monday) == A_DAY
    assert calendars().hours_on(ines.pk, monday + timedelta(days=5)) == ()


def test_a_week_is_kept_as_it_is_typed_and_sending_it_twice_is_sending_it_once(
    as_ines: Client, ines: CrewMember
) -> None:
    sent = week(day1=("07:30", "15:30", "11:00", "11:30"), day5=("09:00", "12:00", "", ""))
    for _ in range(2):
        answer = as_ines.post(reverse("hours_of_person", args=[ines.pk]), sent)
        assert answer["Location"] == reverse("hours")
    assert WorkDay.objects.filter(person=ines).count() == 7
    page = as_ines.get(reverse("hours")).content.decode()
    assert "07:30 – 11:00, 11:30 – 15:30" in page
    assert "10.5 h a week" in page
    monday = date(2026, 5, 4)
    assert calendars().hours_on(ines.pk, monday) == ()
    assert calendars().hours_on(ines.pk, monday + timedelta(days=5))[0][0].hour == 9


@pytest.mark.parametrize(
    ("typed", "says"),
    [
        (("09:00", "08:00", "", ""), "The day ends after it begins."),
        (("09:00", "", "", ""), "Say from when until when"),
        (("09:00", "17:00", "12:00", ""), "Say from when until when the break is"),
        (("09:00", "17:00", "08:00", "08:30"), "The break lies within the hours of the day."),
        (("nine", "17:00", "", ""), "Enter a valid time."),
    ],
)
def test_hours_that_cannot_be_are_refused_beside_the_field_with_what_was_typed(
    as_ines: Client, ines: CrewMember, typed: tuple[str, str, str, str], says: str
) -> None:
    answer = as_ines.post(reverse("hours_of_person", args=[ines.pk]), week(day0=typed, day1=("06:15", "10:00", "", "")))
    assert answer.status_code == 422
    page = answer.content.decode()
    assert says in page
    assert 'value="06:15"' in page
    assert not WorkDay.objects.exists()


def test_a_hand_changes_its_own_hours_alone_and_the_owner_everybody_s(
    as_ines: Client, owner: Client, ines: CrewMember
) -> None:
    other = a_crew_member("tobias")
    assert as_ines.get(reverse("hours_of_person", args=[other.pk])).status_code == 403
    assert as_ines.post(reverse("hours_of_person", args=[other.pk]), week()).status_code == 403
    assert owner.get(reverse("hours_of_person", args=[other.pk])).status_code == 200
    assert owner.get(reverse("hours_of_person", args=[999])).status_code == 404
    assert owner.post(reverse("hours_of_person", args=[other.pk]), week()).status_code == 302
    assert "No hours" in owner.get(reverse("hours")).content.decode()


def off(first: date, last: date | None = None, reason: str = "") -> dict[str, Any]:
    """What a browser sends of days off."""
    return {"first": first.isoformat(), "last": last.isoformat() if last else "", "reason": reason}


def test_days_off_are_noted_once_and_taken_back(as_ines: Client, ines: CrewMember) -> None:
    day = TODAY + timedelta(days=10)
    address = reverse("days_off_of_person", args=[ines.pk])
    for _ in range(2):
        assert as_ines.post(address, off(day, None, "dentist")).status_code == 302
    row = DayOff.objects.get()
    assert (row.first, row.last) == (day, day)
    assert "dentist" in as_ines.get(reverse("hours")).content.decode()
    assert calendars().hours_on(ines.pk, day) == ()
    for _ in range(2):
        assert as_ines.post(reverse("remove_off", args=[row.pk])).status_code == 302
    assert not DayOff.objects.exists()


def test_days_off_that_end_before_they_begin_are_refused_with_what_was_typed(as_ines: Client, ines: CrewMember) -> None:
    sent = off(TODAY, TODAY - timedelta(days=1), "moving house")
    answer = as_ines.post(reverse("days_off_of_person", args=[ines.pk]), sent)
    assert answer.status_code == 422
    assert "The last day is not before the first." in answer.content.decode()
    assert "moving house" in answer.content.decode()


def test_the_owner_closes_the_shop_and_nobody_else_opens_it_again(
    as_ines: Client, owner: Client, ines: CrewMember
) -> None:
    day = TODAY + timedelta(days=20)
    assert as_ines.post(reverse("closing_days"), off(day)).status_code == 403
    assert owner.post(reverse("closing_days"), off(day, day + timedelta(days=4), "summer")).status_code == 302
    row = DayOff.objects.get()
    assert as_ines.post(reverse("remove_off", args=[row.pk])).status_code == 403
    assert not any(calendars().is_open(day + timedelta(days=n)) for n in range(5))
    assert owner.post(reverse("closing_days"), off(day, day - timedelta(days=1))).status_code == 422
    assert owner.post(reverse("remove_off", args=[row.pk])).status_code == 302
    assert not DayOff.objects.exists()


def test_a_public_holiday_is_free_unless_the_shop_works_on_it(owner: Client, ines: CrewMember) -> None:
    Shop.objects.update(country="CA", region="ON")
    Shop.the_one().save()
    # Canada Day, 1 July, is a public holiday in Ontario (Employment Standards Act, 2000, s. 1).
    year = TODAY.year if date(TODAY.year, 7, 1) > TODAY else TODAY.year + 1
    day = date(year, 7, 1)
    assert "Canada Day" in owner.get(reverse("hours")).content.decode()
    assert day in calendars().holidays
    address = reverse("holiday", args=[day.isoformat()])
    for _ in range(2):
        assert owner.post(address, {"worked": "yes"}).status_code == 302
    assert WorkedHoliday.objects.count() == 1
    assert day not in calendars().holidays
    assert owner.post(address, {"worked": "no"}).status_code == 302
    assert day in calendars().holidays
    assert owner.post(reverse("holiday", args=["2026-07-02"]), {"worked": "yes"}).status_code == 404
    assert owner.post(reverse("holiday", args=["never"]), {"worked": "yes"}).status_code == 404
    assert owner.get(address).status_code == 405
