"""PDFs: the paper asked for, the shop's own files and nothing over the network, and a plain word where it cannot be."""

import os
import subprocess
import sys
from http.server import BaseHTTPRequestHandler, HTTPServer
from io import BytesIO
from pathlib import Path
from threading import Thread

import pytest
from pypdf import PdfReader
from pytest_django import Settings

from shop import pdf
from shop.launch.environment import ROOT
from shop.pdf import Paper, PdfError, own_static_file, pdf_of

pytestmark = pytest.mark.usefixtures("pango")

BASE = "http://shop.example.org/"
# ISO 216: A4 is 210 x 297 mm; ANSI/ASME Y14.1: A (letter) is 8.5 x 11 in. A point is 1/72 in.
SIZES_PT = {Paper.A4: (210 / 25.4 * 72, 297 / 25.4 * 72), Paper.LETTER: (8.5 * 72, 11 * 72)}


def read(made: bytes) -> PdfReader:
    return PdfReader(BytesIO(made))


@pytest.mark.parametrize("paper", Paper)
def test_the_sheets_are_of_the_paper_that_was_asked_for(paper: Paper) -> None:
    box = read(pdf_of("<p>Duck, 5 m</p>", BASE, paper)).pages[0].mediabox
    assert (float(box.width), float(box.height)) == pytest.approx(SIZES_PT[paper], abs=0.5)


def test_words_and_links_are_in_it() -> None:
    made = read(pdf_of('<p lang="en">Zoë’s duck, 5 m² <a href="/supplies/?l=1">link</a></p>', BASE, Paper.A4))
    assert "Zoë’s duck, 5 m²" in made.pages[0].extract_text()
    links = [note.get_object()["/A"]["/URI"] for note in made.pages[0].annotations or []]
    assert links == ["http://shop.example.org/supplies/?l=1"]


def test_a_style_sheet_of_the_shop_dresses_it() -> None:
    page = '<link rel="stylesheet" href="/static/css/print.css"><form>pressed</form><p>read</p>'
    text = read(pdf_of(page, BASE, Paper.A4)).pages[0].extract_text()
    assert "read" in text
    assert "pressed" not in text  # paper has nothing to press


def test_nothing_is_fetched_over_the_network() -> None:
    asked: list[str] = []

    class Ear(BaseHTTPRequestHandler):
        def do_GET(self) -> None:
            asked.append(self.path)
            self.send_response(404)
            self.end_headers()

    server = HTTPServer(("127.0.0.1", 0), Ear)
    Thread(target=server.serve_forever, daemon=True).start()
    try:
        at = f"http://127.0.0.1:{server.server_port}/"
        page = f'<link rel="stylesheet" href="{at}a.css"><img src="{at}b.png" alt=""><p>here</p>'
        assert "here" in read(pdf_of(page, at, Paper.A4)).pages[0].extract_text()
    finally:
        server.shutdown()
        server.server_close()
    assert asked == []


@pytest.mark.parametrize(
    "url",
    [
        "file:///etc/passwd",
        "file:///static/../../etc/passwd",
        "http://shop.example.org/static/../manage.py",
        "http://shop.example.org/static/%2e%2e/manage.py",
        "http://shop.example.org/static/no-such.css",
        "http://shop.example.org/static/",
        "http://shop.example.org/media/photos/1.jpg",
        "data:text/css,p{}",
    ],
)
def test_no_other_file_is_opened(url: str) -> None:
    with pytest.raises(ValueError, match="Not a static file"):
        own_static_file(url)


def test_a_file_that_was_hashed_for_serving_is_found(tmp_path: Path, settings: Settings) -> None:
    (tmp_path / "css").mkdir()
    (tmp_path / "css" / "print.0123456789ab.css").write_text("p { color: black }")
    settings.STATIC_ROOT = tmp_path
    assert own_static_file("/static/css/print.0123456789ab.css").read() == b"p { color: black }"


def test_without_pango_it_says_what_to_do_instead(tmp_path: Path) -> None:
    """In a Python of its own, whose loader finds no Pango."""
    code = (
        "import cffi, django; django.setup()\n"
        "load = cffi.FFI.dlopen\n"
        "def without(self, name, *more):\n"
        "    if 'pango' in str(name): raise OSError(name)\n"
        "    return load(self, name, *more)\n"
        "cffi.FFI.dlopen = without\n"
        "from shop.pdf import *\n"
        "try: pdf_of('<p>x</p>', 'http://x/', Paper.A4)\n"
        "except PdfError as error: print(error)\n"
    )
    env = {**os.environ, "DJANGO_SETTINGS_MODULE": "tests.settings"}
    done = subprocess.run([sys.executable, "-c", code], cwd=ROOT, env=env, capture_output=True, text=True)
    assert "print this page instead" in done.stdout, done.stderr


def test_who_would_wait_too_long_is_told_so(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(pdf, "WAIT_S", 0.01)
    with pdf._turn, pytest.raises(PdfError, match="try again soon"):
        pdf_of("<p>x</p>", BASE, Paper.A4)
    assert pdf_of("<p>x</p>", BASE, Paper.A4).startswith(b"%PDF")
