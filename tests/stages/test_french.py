"""The demo shop in French: no page, paper or letter that a boat's owner gets has a text without a French one."""

from dataclasses import replace
from pathlib import Path

import pytest
from django.template.loader import render_to_string
from django.test import Client
from django.utils import translation
from django.utils.translation import trans_real

from hulls.mail_tokens import mail_token, stop_token
from hulls.models import Estimate, Hull, Invoice, Message, MessageState, ProgressLink
from shop.models import Shop
from stages.demo.cast import BOATS
from stages.demo.load import load_demo
from stages.letters.words import NotNeeded
from stages.models import HullWork
from stages.queries.bills import invoice_document
from stages.queries.letters import draft_of
from stages.queries.routes import engine_route
from stages.services.links import renew_link
from stages.views.estimates import pdf_page
from tests.factories import hand
from tests.fixtures.texts import all_sources, marked

pytestmark = pytest.mark.django_db

CANOES = ("length=16+ft&beam=34+in&depth=12+in&ends=23+in&ribs=3", "length=16+ft&beam=34+in&depth=9+m&ends=23+in")


class Missing:
    """Stands where French falls back on English, and writes down what it is asked for."""

    def __init__(self) -> None:
        self.found: set[str] = set()

    def gettext(self, text: str) -> str:
        """One text that has no French one."""
        self.found.add(text)
        return text

    def ngettext(self, one: str, many: str, n: int) -> str:
        """One that counts."""
        self.found.add(one)
        return one if n == 1 else many

    def pgettext(self, context: str, text: str) -> str:
        """One with its context."""
        return self.gettext(text)


@pytest.fixture
def missing(monkeypatch: pytest.MonkeyPatch) -> Missing:
    """What French has no text for, from now on."""
    recorder, french = Missing(), trans_real.translation("fr")
    monkeypatch.setattr(french, "_fallback", recorder)
    return recorder


def french_link(hull: Hull) -> str:
    """A boat's page behind a link."""
    link = ProgressLink.objects.filter(hull=hull, withdrawn_at=None).first()
    if link is None:
        renew_link(hull_id=hull.pk, hand=hand())
        link = ProgressLink.objects.get(hull=hull, withdrawn_at=None)
    return f"/p/{mail_token(link.pk)}/"


def read_all(client: Client) -> int:
    """Open whatever a boat's owner or a stranger may read; says how many pages that were."""
    opened = 0
    for hull in Hull.objects.all():
        page = french_link(hull)
        stop = f"/stop/{stop_token(ProgressLink.objects.get(hull=hull, withdrawn_at=None).pk)}/"
        for address in (page, f"{page}finish-record/", stop):
            answer = client.get(address)
            assert answer.status_code == 200 or address.endswith("finish-record/")
            assert '<html lang="fr">' in answer.content.decode()
            opened += 1
    for address in ("/p/x/", "/supplies/", *(f"/supplies/?{boat}&units=us" for boat in CANOES)):
        assert '<html lang="fr">' in client.get(address).content.decode()
        opened += 1
    return opened


def print_all() -> int:
    """Lay out the papers and letters that owners get; says how many that were."""
    shop, printed = Shop.objects.get(), 0
    for paper in Estimate.objects.filter(sent_at__isnull=False).select_related("hull__owner"):
        assert "<html" in pdf_page(paper, engine_route(HullWork.objects.get(pk=paper.hull_id).route), shop)
        printed += 1
    for invoice in Invoice.objects.all():
        assert "<html" in render_to_string("stages/bill_pdf.html", {"doc": invoice_document(invoice.body, invoice)})
        printed += 1
    for letter in Message.objects.filter(state=MessageState.WAITING):
        drafted = draft_of(letter, shop=shop, now=letter.due_at)
        assert isinstance(drafted, NotNeeded) or '<html lang="fr">' in drafted.written.html
        printed += 1
    return printed


def test_nothing_that_an_owner_reads_of_the_demo_shop_lacks_a_french_text(
    missing: Missing, monkeypatch: pytest.MonkeyPatch, msgfmt: Path, tmp_path: Path
) -> None:
    monkeypatch.setattr("stages.demo.load.BOATS", [replace(boat, language="fr") for boat in BOATS])
    load_demo()
    client = Client(headers={"Accept-Language": "fr"})
    missing.found.clear()
    assert read_all(client) > 40
    with translation.override("fr"):
        assert print_all() > 20
    # What the shop typed goes through the same door, and is shown as it was typed: only what is marked counts.
    assert missing.found & marked(all_sources(), msgfmt, tmp_path) == set()


def test_a_text_that_has_no_french_one_would_be_found(missing: Missing) -> None:
    with translation.override("fr"):
        assert translation.gettext("Planted, and said nowhere.") == "Planted, and said nowhere."
    assert missing.found == {"Planted, and said nowhere."}
