"""The page of a hull's lines: its sizes, and writing down stations or a table."""

import re
from html import unescape
from typing import Any

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext

from hulls.lines import Offsets, Principal, Taped, measure
from hulls.models import Hull, LinesRecord
from hulls.offsets.kept import kept
from hulls.sizes import sizes_of
from shop.models import Role, Shop
from tests.factories import a_crew_member, a_hull, a_shop
from tests.hulls.lines.tables import half_ellipsoid

pytestmark = pytest.mark.django_db

ADDRESS = "/hulls/H-1/lines/"
TABLE = kept(Offsets.of_points(half_ellipsoid(2.45, 0.44, 0.31, 12, 8)))


@pytest.fixture
def crew(client: Client) -> Client:
    a_shop()
    a_hull()
    client.force_login(a_crew_member())
    return client


def words(response: Any) -> str:
    return " ".join(unescape(re.sub(r"<[^>]+>", " ", response.content.decode())).split())


def errors_of(response: Any) -> dict[str, str]:
    found = re.findall(r'<ul class="errorlist" id="id_([\w-]+)_error">(.*?)</ul>', response.content.decode(), re.DOTALL)
    return {name: unescape(re.sub(r"<[^>]+>", "", text)).strip() for name, text in found}


def rows(*stations: tuple[str, str, str], initial: int = 0) -> dict[str, str]:
    """Stations as somebody fills them in."""
    data = {"do": "taped", "taped-TOTAL_FORMS": str(len(stations) + 2), "taped-INITIAL_FORMS": str(initial)}
    for n, cells in enumerate(stations):
        names = ("station", "girth", "half_breadth")
        data |= {f"taped-{n}-{name}": cell for name, cell in zip(names, cells, strict=True)}
    return data


def the_hull() -> Hull:
    return Hull.objects.get(tag="H-1")


def test_it_shows_sizes_spread_and_sections(crew: Client) -> None:
    response = crew.get(ADDRESS)

    sizes = measure(Principal(length_m=4.9, beam_m=0.88, depth_m=0.31, end_depth_m=0.58))
    assert response.status_code == 200
    assert f"Outside {sizes.outside_area_m2:.2f} m²" in words(response)
    assert f"good to {sizes.spread_pct:.1f} % either way" in words(response)
    assert response.content.count(b'class="body-plan__section"') == 10
    assert "The fullest is 88.0 cm wide, 31.0 cm deep" in words(response)


def test_it_shows_us_units_to_a_shop_that_uses_them(crew: Client) -> None:
    Shop.objects.update(units="us")

    shown = words(crew.get(ADDRESS))

    assert "ft²" in shown
    assert "cu ft" in shown
    assert "m²" not in shown


def test_stations_are_kept_and_shown_again(crew: Client) -> None:
    response = crew.post(ADDRESS, rows(("4 ft", "42 in", ""), ("8 ft", "51 1/2 in", "17 1/4 in"), ("", "", "")))

    assert (response.status_code, response["Location"]) == (302, ADDRESS)
    assert the_hull().lines_table == kept(
        (Taped(x_m=1.2192, girth_m=1.0668), Taped(x_m=2.4384, girth_m=1.3081, half_breadth_m=0.43815))
    )
    assert "Stations taped on the hull" in words(crew.get(ADDRESS))
    assert b'value="1.22 m"' in crew.get(ADDRESS).content


def test_stations_that_nobody_touched_stay_as_they_were_to_the_last_digit(crew: Client) -> None:
    crew.post(ADDRESS, rows(("4 ft", "42 in", ""), ("8 ft", "51 1/2 in", "17 1/4 in")))
    before = the_hull().lines_table

    crew.post(ADDRESS, rows(("1.22 m", "1.07 m", ""), ("2.44 m", "1.31 m", "43.8 cm"), initial=2))

    assert the_hull().lines_table == before
    assert LinesRecord.objects.count() == 1


def test_sent_twice_it_is_written_down_once(crew: Client) -> None:
    for _ in range(2):
        assert crew.post(ADDRESS, rows(("8 ft", "51 in", ""))).status_code == 302

    assert LinesRecord.objects.count() == 1


def test_bad_stations_are_told_beside_their_fields_and_stay_typed(crew: Client) -> None:
    response = crew.post(
        ADDRESS, rows(("8 ft", "20 in", "17 in"), ("", "42 in", ""), ("4", "42 in", ""), ("90 ft", "9 in", ""))
    )

    assert response.status_code == 422
    found = errors_of(response)
    assert "smaller than the beam" in found["taped-0-girth"]
    assert "Say where" in found["taped-1-station"]
    assert "has no unit" in found["taped-2-station"]
    assert "beyond the hull" in found["taped-3-station"]
    for typed in (b'value="20 in"', b'value="42 in"', b'value="90 ft"'):
        assert typed in response.content
    assert not the_hull().lines_table


@pytest.mark.parametrize(
    ("stations", "says"),
    [
        ([("", "", "")], "No station is filled in"),
        ([("8 ft", "51 in", ""), ("8 ft", "50 in", "")], "Two stations stand"),
    ],
)
def test_stations_that_are_wrong_together_are_told_above_them(
    crew: Client, stations: list[tuple[str, str, str]], says: str
) -> None:
    response = crew.post(ADDRESS, rows(*stations))

    assert response.status_code == 422
    assert says in words(response)


def test_a_pasted_table_is_kept(crew: Client) -> None:
    assert crew.post(ADDRESS, {"do": "table", "table": TABLE}).status_code == 302

    assert the_hull().lines_table == TABLE
    assert sizes_of(the_hull()).spread_pct < 2
    assert TABLE.splitlines()[3] in unescape(crew.get(ADDRESS).content.decode())


def test_a_file_is_kept(crew: Client) -> None:
    file = SimpleUploadedFile("offsets.csv", TABLE.encode())

    assert crew.post(ADDRESS, {"do": "table", "table": "", "file": file}).status_code == 302

    assert the_hull().lines_table == TABLE


@pytest.mark.parametrize(
    ("table", "says"),
    [
        ("", "Paste a table"),
        ("a,b\n1,2", "must name the columns"),
        (TABLE.replace("station_m", "station_mm"), "Are stations missing"),
        ("station_m,height_m,half_breadth_m\n0,0,0\n2,0,0\n2,0.1,0.2\n2,0.1,0.3\n4.9,0,0", "crossed"),
    ],
)
def test_a_bad_table_is_told_beside_it_and_stays(crew: Client, table: str, says: str) -> None:
    response = crew.post(ADDRESS, {"do": "table", "table": table})

    assert response.status_code == 422
    assert says in errors_of(response)["table"]
    assert unescape(response.content.decode()).count(table) >= 1
    assert not the_hull().lines_table


def test_each_bad_row_of_a_table_is_told(crew: Client) -> None:
    response = crew.post(ADDRESS, {"do": "table", "table": TABLE + "\n2.45,1-0-0,0.4\n2.45,,0.4"})

    assert response.status_code == 422
    assert "units are mixed" in words(response)
    assert "This must be filled in." in words(response)


def test_one_can_go_back_to_the_four_measures(crew: Client) -> None:
    crew.post(ADDRESS, {"do": "table", "table": TABLE})

    assert crew.post(ADDRESS, {"do": "measures"}).status_code == 302

    assert not the_hull().lines_table


def test_a_measure_changed_since_is_told(crew: Client) -> None:
    crew.post(ADDRESS, rows(("15 ft", "20 in", "")))
    Hull.objects.update(length_m=4.2)

    assert "no longer fit" in words(crew.get(ADDRESS))


def test_who_only_looks_sees_no_form_and_may_not_write(client: Client) -> None:
    a_shop()
    a_hull()
    client.force_login(a_crew_member("wall", Role.LOOK))

    assert b"Keep the stations" not in client.get(ADDRESS).content
    assert client.post(ADDRESS, rows(("8 ft", "51 in", ""))).status_code == 403


def test_unknown_hulls_and_other_methods_are_refused(crew: Client) -> None:
    assert crew.get("/hulls/H-99/lines/").status_code == 404
    assert crew.put(ADDRESS).status_code == 405


def test_its_number_of_queries_does_not_grow_with_the_table(crew: Client) -> None:
    def count() -> int:
        with CaptureQueriesContext(connection) as queries:
            crew.get(ADDRESS)
        return len(queries)

    crew.get(ADDRESS)
    before = count()
    crew.post(ADDRESS, {"do": "table", "table": TABLE})
    crew.get(ADDRESS)

    assert count() == before


def test_a_table_that_may_be_in_feet_is_kept_with_a_caution(crew: Client) -> None:
    Hull.objects.filter(tag="H-1").update(length_m=5.0)
    wide = kept(Offsets.of_points(half_ellipsoid(2.5, 1.4, 0.31, 12, 8)))

    assert crew.post(ADDRESS, {"do": "table", "table": wide}).status_code == 302

    assert "Look at the units of the table: 2.8 m wide." in words(crew.get(ADDRESS))
    crew.post(ADDRESS, {"do": "measures"})
    assert "Look at the units" not in words(crew.get(ADDRESS))


@pytest.mark.parametrize(("typed", "shown"), [("", "2,high,0.4"), ("my own\n", "my own")])
def test_a_refused_file_s_text_is_put_into_an_empty_box(crew: Client, typed: str, shown: str) -> None:
    file = SimpleUploadedFile("offsets.csv", b"station_m,height_m,half_breadth_m\n0,0,0\n2,high,0.4\n")

    response = crew.post(ADDRESS, {"do": "table", "table": typed, "file": file})

    assert response.status_code == 422
    box = re.search(r"<textarea[^>]*>(.*?)</textarea>", response.content.decode(), re.DOTALL)
    assert box
    assert shown in box[1]
    assert the_hull().lines_table == ""


PICTURE = f"{ADDRESS}body-plan.svg"


def test_the_sheet_shows_the_body_plan_under_an_address_that_changes_with_the_hull_s_numbers(crew: Client) -> None:
    def shown() -> str:
        found = re.search(r'src="(/hulls/H-1/lines/body-plan.svg[^"]+)"', crew.get("/hulls/H-1/").content.decode())
        assert found
        return found[1]

    before = shown()
    picture = crew.get(before)
    assert picture["Content-Type"] == "image/svg+xml"
    assert "immutable" in picture["Cache-Control"]
    assert picture.content.count(b"<path") > 6
    assert crew.get(before, headers={"If-None-Match": picture["ETag"]}).status_code == 304

    crew.post(ADDRESS, {"do": "table", "table": TABLE})

    assert shown() != before
    assert crew.get(before, headers={"If-None-Match": picture["ETag"]})["Cache-Control"] == "private, no-cache"


def test_the_body_plan_is_one_query_beside_who_asks_and_unknown_without_a_hull(crew: Client) -> None:
    with CaptureQueriesContext(connection) as queries:
        crew.get(PICTURE)
    assert sum("hulls_hull" in query["sql"] for query in queries) == 1
    assert crew.get("/hulls/H-9/lines/body-plan.svg").status_code == 404
    assert crew.post(PICTURE).status_code == 405
