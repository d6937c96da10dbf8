import re
from html import unescape
from typing import Any

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.test import Client
from playwright.sync_api import Page

from hulls.intake.columns import WORDS
from hulls.intake.guide import GUIDE
from hulls.models import Hull
from shop.models import Role
from stages.forms.intake import LARGEST
from stages.models import Entry, Route
from stages.views.intake import MOST_SHOWN
from tests.factories import a_crew_member, a_shop, the_shop_owner
from tests.fixtures.accessibility import axe
from tests.fixtures.browser import sign_in
from tests.hulls.intake.sheets import DATA, HEADER

pytestmark = pytest.mark.django_db

PAGE = "/hulls/import/"
SOUND = "Ann Teller,16 ft,34 in,12 in,24 in"


@pytest.fixture
def boss(client: Client) -> Client:
    a_shop()
    client.force_login(the_shop_owner())
    return client


def send(client: Client, content: bytes, do: str = "take", *, htmx: bool = False, **options: str) -> Any:
    headers = {"HX-Request": "true"} if htmx else {}
    file = SimpleUploadedFile("hulls.csv", content, content_type="text/csv")
    return client.post(PAGE, {"file": file, "do": do, **options}, headers=headers)


def words(response: Any) -> str:
    """What a reader sees of the page."""
    return " ".join(unescape(re.sub(r"<[^>]*>", " ", response.content.decode())).split())


def test_the_shop_owner_sees_the_form_and_the_columns(boss: Client) -> None:
    response = boss.get(PAGE)
    assert response.status_code == 200
    assert "end depth (needed)" in words(response)


def test_the_guide_names_every_column_that_is_read() -> None:
    assert [guide.column for guide in GUIDE] == list(WORDS)


@pytest.mark.parametrize("role", [Role.CREW, Role.LOOK])
@pytest.mark.parametrize("method", ["get", "post"])
def test_nobody_else_may_take_in_a_sheet(client: Client, role: Role, method: str) -> None:
    a_shop()
    client.force_login(a_crew_member("other", role))
    assert getattr(client, method)(PAGE).status_code == 403
    assert send(client, (DATA / "us.csv").read_bytes()).status_code == 403
    assert not Hull.objects.exists()


def test_without_a_log_in_the_log_in_comes_first(client: Client) -> None:
    a_shop()
    response = client.post(PAGE)
    assert (response.status_code, response["Location"]) == (302, f"/login/?next={PAGE}")


@pytest.mark.parametrize("method", ["put", "delete", "patch"])
def test_other_methods_are_refused(boss: Client, method: str) -> None:
    assert getattr(boss, method)(PAGE).status_code == 405


def test_a_good_sheet_is_taken_in_and_said_so(boss: Client) -> None:
    response = send(boss, (DATA / "us.csv").read_bytes())
    assert (response.status_code, response["Location"]) == (302, PAGE)
    assert "3 hulls taken in." in words(boss.get(PAGE))
    assert Hull.objects.count() == Entry.objects.count() == 3


def test_a_check_writes_nothing(boss: Client) -> None:
    response = send(boss, (DATA / "us.csv").read_bytes(), "check")
    assert response.status_code == 200
    assert "3 rows are good. 0 rows have something wrong with them. This was a check" in words(response)
    assert not Hull.objects.exists()


def test_a_request_that_does_not_say_what_it_wants_is_only_a_check(boss: Client) -> None:
    assert send(boss, (DATA / "us.csv").read_bytes(), "").status_code == 200
    assert not Hull.objects.exists()


def test_every_problem_is_shown_beside_its_row_and_nothing_is_written(boss: Client) -> None:
    response = send(boss, (DATA / "bad.csv").read_bytes())
    seen = words(response)
    assert response.status_code == 422
    assert "2 rows are good. 7 rows have something wrong with them. Nothing was taken in." in seen
    assert "3 3 Length “16 fx” is not a length." in seen
    assert "Columns that were left aside, since nobody knows them here: Rack" in seen
    assert response.content.decode().count('<th scope="row" class="num">') == 18
    assert not Hull.objects.exists()


def test_the_good_rows_are_kept_on_request(boss: Client) -> None:
    response = send(boss, (DATA / "bad.csv").read_bytes(), keep_good="on")
    assert response.status_code == 200
    assert "2 hulls taken in. 7 rows were left out." in words(response)
    assert Hull.objects.count() == 2


def test_the_form_keeps_what_was_chosen(boss: Client) -> None:
    page = send(boss, (DATA / "bad.csv").read_bytes(), "check", date_order="dmy", keep_good="on").content.decode()
    assert '<option value="dmy" selected>' in page
    assert re.search(r'name="keep_good"[^>]*checked', page)


def test_the_order_of_dates_is_used(boss: Client) -> None:
    content = (DATA / "semicolons-windows-1252.csv").read_bytes()
    assert send(boss, content).status_code == 422
    assert send(boss, content, date_order="dmy").status_code == 302
    assert Hull.objects.get(tag="K/12").arrived_on.isoformat() == "2026-03-09"


def test_an_order_of_dates_that_nobody_knows_is_refused(boss: Client) -> None:
    assert send(boss, (DATA / "us.csv").read_bytes(), date_order="ydm").status_code == 422
    assert not Hull.objects.exists()


@pytest.mark.parametrize(
    ("content", "reason"),
    [
        (b"", "The submitted file is empty."),
        (b"\n\n", "The file is empty."),
        (b"PK\x03\x04 a workbook", "save it as CSV"),
        (b"a,b\n1,2\n", "The first line names no column for: tag, owner"),
        (b"x" * (LARGEST + 1), "is the most here"),
    ],
)
@pytest.mark.parametrize("htmx", [True, False])
def test_a_file_that_is_no_sheet_is_refused_by_the_field(boss: Client, content: bytes, reason: str, htmx: bool) -> None:
    response = send(boss, content, htmx=htmx)
    assert response.status_code == 422
    assert reason in words(response)


def test_no_file_at_all_is_refused(boss: Client) -> None:
    response = boss.post(PAGE, {"do": "take"})
    assert response.status_code == 422
    assert "This field is required." in words(response)


def test_a_file_of_the_largest_size_is_read(boss: Client) -> None:
    start = f"{HEADER},notes\nH-1,{SOUND},x\n".encode()
    blank = b" " * 999 + b"\n"
    assert send(boss, (start + blank * (LARGEST // len(blank) + 1))[:LARGEST]).status_code == 302


def test_without_a_route_the_page_says_so(boss: Client) -> None:
    Route.objects.update(current=False)
    response = send(boss, (DATA / "us.csv").read_bytes())
    assert response.status_code == 422
    assert "No route is published yet." in words(response)


def test_html_in_a_sheet_stays_text(boss: Client) -> None:
    nasty = "<b>bold</b>"
    response = send(boss, f"{HEADER},{nasty},email\n{nasty},{SOUND},x,{nasty}\n".encode())
    assert response.status_code == 422
    assert nasty not in response.content.decode()
    assert "“<b>bold</b>” is not a tag." in words(response)


def test_only_so_many_problems_are_shown_and_the_rest_is_counted(boss: Client) -> None:
    lines = [f"H-{n},Ann Teller,1 ft,34 in,12 in,24 in" for n in range(MOST_SHOWN + 30)]
    response = send(boss, "\n".join([HEADER, *lines]).encode())
    assert response.content.decode().count('<th scope="row" class="num">') == MOST_SHOWN
    assert "And 30 more." in words(response)


def test_htmx_gets_the_report_alone(boss: Client) -> None:
    response = send(boss, (DATA / "bad.csv").read_bytes(), htmx=True)
    assert response.status_code == 422
    assert "<form" not in response.content.decode()
    assert "7 rows have something wrong with them" in words(response)
    assert "3 hulls taken in." in words(send(boss, (DATA / "us.csv").read_bytes(), htmx=True))


def test_the_same_sheet_sent_twice_is_taken_in_once(boss: Client) -> None:
    send(boss, (DATA / "us.csv").read_bytes())
    response = send(boss, (DATA / "us.csv").read_bytes())
    assert response.status_code == 422
    assert "The shop has a hull with the tag H-201 already." in words(response)
    assert Hull.objects.count() == 3


@pytest.mark.django_db(transaction=True)
@pytest.mark.parametrize("screen", ["phone_page", "desk_page"])
def test_in_a_browser_a_sheet_is_checked_mended_and_taken_in(
    screen: str, expected_console: list[str], request: pytest.FixtureRequest
) -> None:
    expected_console.append("status of 422")
    page: Page = request.getfixturevalue(screen)
    a_shop()
    sign_in(page, the_shop_owner())
    page.goto(PAGE)
    axe(page)
    page.get_by_label("CSV file").set_input_files(DATA / "bad.csv")
    page.get_by_role("button", name="Take the hulls in").click()
    page.get_by_text("7 rows have something wrong with them.").wait_for()
    assert not Hull.objects.exists()
    axe(page)
    assert page.evaluate("document.documentElement.scrollWidth <= innerWidth")
    page.get_by_label("Take in the good rows").check()
    page.get_by_role("button", name="Take the hulls in").click()  # the file is still chosen
    page.get_by_text("2 hulls taken in. 7 rows were left out.").wait_for()
    assert Hull.objects.count() == 2
    axe(page)
