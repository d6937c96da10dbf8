"""The plan on paper: whatever the shop's size, the drawing and its words are on the first sheet, the rest behind."""

import io

import pytest
from django.utils import timezone
from playwright.sync_api import Page
from pypdf import PdfReader

from shop.models import Pulse, Station
from stages.pictures.plan import PAPER_PCT
from stages.queries.world import around
from stages.services.planning import keep
from stages.services.replanning import plan_of
from tests.factories import a_hull, a_shop, the_shop_owner
from tests.fixtures.browser import sign_in

pytestmark = pytest.mark.django_db(transaction=True)


@pytest.mark.parametrize("places", [1, 3, 9])
def test_it_is_drawn_on_one_sheet_whatever_the_number_of_places(desk_page: Page, places: int) -> None:
    a_shop()
    a_hull("H-7")
    Station.objects.update(places=places)
    Pulse.bump(setup=True)
    keep(plan_of(around(), now=timezone.now(), seconds=0))
    sign_in(desk_page, the_shop_owner())
    desk_page.goto("/plan/?zoom=month")
    for paper in ("A4", "Letter"):
        sheets = PdfReader(io.BytesIO(desk_page.pdf(format=paper))).pages
        texts = [" ".join(sheet.extract_text().split()) for sheet in sheets]
        assert texts[0].startswith("The plan")
        assert texts[0].endswith("faint: it dries or waits there.")
        assert texts[1].startswith("Every boat’s days")


def test_the_style_sheet_knows_every_size_in_which_it_is_printed(desk_page: Page) -> None:
    a_shop()
    a_hull("H-7")
    keep(plan_of(around(), now=timezone.now(), seconds=0))
    sign_in(desk_page, the_shop_owner())
    desk_page.goto("/plan/")
    desk_page.emulate_media(media="print")
    sizes = desk_page.locator("svg.plan").evaluate(
        "(drawing, sizes) => sizes.map(pct => { drawing.setAttribute('class', `plan plan--${pct}`);"
        " return Number(getComputedStyle(drawing).zoom); })",
        list(PAPER_PCT),
    )
    assert sizes == [pct / 100 for pct in PAPER_PCT]
