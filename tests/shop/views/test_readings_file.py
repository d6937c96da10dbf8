import re
from datetime import UTC, datetime
from html import unescape
from typing import Any

import pytest
import time_machine
from django.core.files.uploadedfile import SimpleUploadedFile
from django.test import Client
from playwright.sync_api import Page

from shop.forms.readings_file import LARGEST
from shop.models import Reading, Role, Sensor, Shop, WeatherDay, Zone
from shop.services.sensors import add_sensor
from shop.views.readings_file import MOST_SHOWN
from tests.factories import a_crew_member, the_shop_owner
from tests.fixtures.accessibility import axe
from tests.fixtures.browser import sign_in

pytestmark = pytest.mark.django_db

PAGE = "/readings/import/"
GOOD = b"at;Temp F;RH\n01.03.2026 08:30;61,16;71\n01.03.2026 08:35;61,34;70,5\n"
BAD = b"at,temp_c,rh_pct\n2026-03-01T08:30,11.5,71\n2026-03-01T08:35,60,71\n2026-03-01T08:40,12,101\n"


@pytest.fixture
def crew(client: Client) -> Client:
    a_logger()
    client.force_login(a_crew_member())
    return client


def a_logger() -> Sensor:
    Shop.objects.create(pk=1, time_zone="Europe/Paris")
    zone = Zone.objects.create(name="Loft")
    return add_sensor(name="Logger", zone=zone, every_min=5, sends=False, by=None)[0]


def send(client: Client, content: bytes, do: str = "take", **options: object) -> Any:
    file = SimpleUploadedFile("readings.csv", content, content_type="text/csv")
    sensor = Sensor.objects.values_list("pk", flat=True).first()
    return client.post(PAGE, {"sensor": sensor, "zone": "Europe/Paris", "file": file, "do": do, **options})


def words(response: Any) -> str:
    return " ".join(unescape(re.sub(r"<[^>]*>", " ", response.content.decode())).split())


def test_the_crew_sees_the_form_with_the_shops_zone(crew: Client) -> None:
    response = crew.get(PAGE)
    assert response.status_code == 200
    assert 'value="Europe/Paris"' in response.content.decode()
    assert "2 MB at most" in words(response)


def test_a_shop_without_a_logger_leads_its_owner_to_where_one_is_added(client: Client) -> None:
    Shop.objects.create(pk=1, time_zone="Europe/Paris")
    client.force_login(a_crew_member())
    response = client.get(PAGE)
    assert "The shop’s owner adds them on the page of sensors." in words(response)
    assert "/sensors/" not in response.content.decode()  # only the owner may open it
    client.force_login(the_shop_owner())
    response = client.get(PAGE)
    assert "There is no sensor or logger yet. Add it on the page of sensors ." in words(response)
    main = response.content.decode().split("<main")[1]
    assert '<a href="/sensors/">the page of sensors</a>' in main


def test_a_screen_on_the_wall_may_not(client: Client) -> None:
    a_logger()
    client.force_login(a_crew_member("screen", Role.LOOK))
    assert client.get(PAGE).status_code == 403
    assert send(client, GOOD).status_code == 403


def test_without_a_log_in_the_log_in_comes_first(client: Client) -> None:
    assert client.get(PAGE)["Location"] == f"/login/?next={PAGE}"


@pytest.mark.parametrize("method", ["put", "delete", "patch"])
def test_other_methods_are_refused(crew: Client, method: str) -> None:
    assert getattr(crew, method)(PAGE).status_code == 405


def test_a_shop_without_a_sensor_is_told_so(crew: Client) -> None:
    Sensor.objects.all().delete()
    assert "There is no sensor or logger yet." in words(crew.get(PAGE))


def test_a_good_file_is_taken_in_by_whoever_brings_it(crew: Client) -> None:
    response = send(crew, GOOD, date_order="dmy")
    assert response.status_code == 200
    assert "2 rows are good. They run from 2026-03-01 08:30 to 2026-03-01 08:35. 2 readings taken in." in words(
        response
    )
    reading = Reading.objects.earliest("at")
    assert (reading.at.hour, reading.air_c, reading.rh_pct) == (7, 16.2, 71.0)
    assert (reading.by, reading.sensor, reading.zone.name) == (a_crew_member(), Sensor.objects.get(), "Loft")


def test_sent_twice_is_taken_in_once(crew: Client) -> None:
    send(crew, GOOD, date_order="dmy")
    response = send(crew, GOOD, date_order="dmy")
    assert "0 readings taken in. 2 were on record already." in words(response)
    assert Reading.objects.count() == 2


@pytest.mark.parametrize("do", ["check", ""])
def test_a_check_writes_nothing(crew: Client, do: str) -> None:
    response = send(crew, GOOD, do, date_order="dmy")
    assert response.status_code == 200
    assert "This was a check: nothing was taken in." in words(response)
    assert not Reading.objects.exists()


def test_bad_rows_are_shown_beside_their_place_and_good_ones_taken_in(crew: Client) -> None:
    response = send(crew, BAD)
    seen = words(response)
    assert response.status_code == 200
    assert "1 reading taken in. 2 rows were left out." in seen
    assert "3 3 temp_c The air of a shop lies between -40 and 50 °C." in seen
    assert "4 4 rh_pct Humidity runs from 0 to 100 %." in seen
    assert Reading.objects.count() == 1


def test_a_file_of_bad_rows_only_is_refused(crew: Client) -> None:
    response = send(crew, b"at,temp_c,rh_pct\n2026-03-01T08:35,60,71\n")
    assert response.status_code == 422
    assert "0 rows are good." in words(response)


def test_a_moment_that_is_on_record_with_another_value_is_a_bad_row(crew: Client) -> None:
    send(crew, b"at,temp_c,rh_pct\n2026-03-01T08:30,11,71\n")
    seen = words(send(crew, b"at,temp_c,rh_pct\n2026-03-01T08:30,12,71\n2026-03-01T08:35,12,71\n"))
    assert "2 2 at Another value for this moment is on record; the first one stays." in seen
    assert list(Reading.objects.order_by("at").values_list("air_c", flat=True)) == [11.0, 12.0]


@time_machine.travel(datetime(2026, 12, 1, tzinfo=UTC))
def test_the_change_of_the_clocks_and_the_gaps_are_said(crew: Client) -> None:
    rows = ["2026-10-25T02:00", "2026-10-25T02:30", "2026-10-25T02:00", "2026-10-25T03:30", "2026-10-26T03:30"]
    content = "at,temp_c,rh_pct\n" + "".join(f"{at},{n + 10},71\n" for n, at in enumerate(rows))
    seen = words(send(crew, content.encode(), "check"))
    assert "There is 1 gap of more than 6 hours, of 24 hours." in seen
    assert "3 stamps lie in the hour that comes twice when the clocks go back" in seen


def test_only_so_many_problems_are_shown_and_the_rest_counted(crew: Client) -> None:
    response = send(crew, b"at,temp_c,rh_pct\n" + b"x,1,1\n" * (MOST_SHOWN + 7))
    assert response.content.decode().count('<th scope="row" class="num">') == MOST_SHOWN
    assert "And 7 more." in words(response)


@pytest.mark.parametrize(
    ("content", "error"),
    [
        (b"", "The submitted file is empty."),
        (b"PK\x03\x04", "This is not a text file."),
        (b"a,b\n1,2\n", "No line of the beginning names columns for: moment, temperature, humidity."),
    ],
)
def test_a_file_of_another_shape_is_refused_beside_the_field(crew: Client, content: bytes, error: str) -> None:
    response = send(crew, content)
    assert response.status_code == 422
    assert error in words(response)


def test_a_file_as_large_as_the_limit_is_read_and_a_larger_one_refused(crew: Client) -> None:
    content = b"at,temp_c,rh_pct\n2026-03-01T08:30,11,71\n"
    assert send(crew, content.ljust(LARGEST, b"\n"), "check").status_code == 200
    response = send(crew, content.ljust(LARGEST + 1, b"\n"), "check")
    assert response.status_code == 422
    assert "use the command import_readings" in words(response)


@pytest.mark.parametrize(
    "options", [{"zone": "Europe/Nowhere"}, {"zone": ""}, {"sensor": 99}, {"date_order": "odd"}, {"unit": "k"}]
)
def test_what_the_form_does_not_know_is_refused(crew: Client, options: dict[str, Any]) -> None:
    assert send(crew, GOOD, **options).status_code == 422
    assert not Reading.objects.exists()


@pytest.mark.django_db(transaction=True)
@pytest.mark.parametrize("screen", ["phone_page", "desk_page"])
def test_in_a_browser_a_file_is_checked_and_taken_in(screen: str, request: pytest.FixtureRequest) -> None:
    page: Page = request.getfixturevalue(screen)
    a_logger()
    sign_in(page, a_crew_member())
    page.goto(PAGE)
    axe(page)
    for button, said in (("Check the file", "This was a check"), ("Take the readings in", "1 reading taken in.")):
        page.get_by_label("CSV file").set_input_files({"name": "r.csv", "mimeType": "text/csv", "buffer": BAD})
        page.get_by_role("button", name=button).click()
        page.get_by_text(said).wait_for()
        axe(page)
    assert page.evaluate("document.documentElement.scrollWidth <= innerWidth")


def test_a_rain_gauges_file_for_a_sensor_indoors_is_refused_beside_the_field(crew: Client) -> None:
    response = send(crew, b"at,rain_mm\n2026-03-01 08:00,0.2\n")
    assert response.status_code == 422
    assert "does not rain in the zone of Logger: Loft" in words(response)


def test_a_rain_gauges_file_is_taken_in(crew: Client) -> None:
    Zone.objects.update(outdoors=True)
    response = send(crew, b"at,rain_mm\n2026-03-01 08:00,0.2\n2026-03-01 09:00,4\n")
    assert "2 readings taken in." in words(response)
    assert WeatherDay.objects.get().dry is False
