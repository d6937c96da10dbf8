"""Each tax stands once, in the same words, on every page and paper that has sums."""

import io
import re

import pytest
from django.test import Client
from pypdf import PdfReader

from hulls.models import Hull
from shop.models import Tax
from tests.factories import the_shop_owner
from tests.stages.billing import an_agreed_hull, issued
from tests.stages.charging import a_shop_that_charges

pytestmark = pytest.mark.django_db
ROW = r"(?<!\w)(?:VAT, 20|Harbour levy, 1\.5) % of EUR ?[\d,.]+"


@pytest.fixture
def hull() -> Hull:
    a_shop_that_charges()
    Tax.objects.create(name="Harbour levy", rate_pct="1.5")
    return an_agreed_hull()


def text_of(client: Client, path: str) -> str:
    answer = client.get(path)
    if path.endswith("pdf/"):
        return " ".join(" ".join(page.extract_text() for page in PdfReader(io.BytesIO(answer.content)).pages).split())
    return " ".join(re.sub(r"<[^>]+>", " ", answer.content.decode()).split())


@pytest.mark.parametrize("paper", ["estimates/{estimate}/", "bill/invoices/{invoice}/"])
def test_the_page_and_its_pdf_say_each_tax_once_in_the_same_words(client: Client, hull: Hull, paper: str) -> None:
    client.force_login(the_shop_owner())
    agreed = hull.estimates.get()
    path = "/hulls/H-1/" + paper.format(estimate=agreed.pk, invoice=issued(hull).pk)
    page, pdf = (re.findall(ROW, text_of(client, at).replace("\xa0", " ")) for at in (path, f"{path}pdf/"))
    assert page == pdf
    assert [row.split(",")[0] for row in page] == ["VAT", "Harbour levy"]
    assert text_of(client, path).count("Before tax") == 1
