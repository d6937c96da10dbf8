"""The one door to WeasyPrint: a page becomes a PDF, and nothing is fetched over the network for it."""

import mimetypes
from collections.abc import Mapping
from enum import StrEnum
from pathlib import Path
from threading import BoundedSemaphore
from typing import Any
from urllib.parse import unquote, urlsplit

from django.conf import settings
from django.contrib.staticfiles import finders
from django.core.exceptions import SuspiciousFileOperation
from django.utils._os import safe_join
from django.utils.translation import gettext as _

WAIT_S = 3.0  # whoever waits holds one of the threads that answer the shop
_turn = BoundedSemaphore(1)  # a PDF keeps a core busy: one at a time in each process


class Paper(StrEnum):
    """The paper that a PDF is laid out for."""

    A4 = "A4"
    LETTER = "letter"


class PdfError(RuntimeError):
    """No PDF can be made now; its message tells whoever asked for one what to do instead."""


def pdf_of(html: str, base_url: str, paper: Paper, *, pictures: Mapping[str, bytes] | None = None) -> bytes:
    """Lay a page out on paper.

    Parameters
    ----------
    html : str
        The whole page. Its links may lead anywhere; its style sheets and pictures come from the shop's own static
        files, and what lies elsewhere is left out.
    base_url : str
        The address that links without a host are read against.
    paper : Paper
        The size of its sheets; margins are those of the page's own `@page`.
    pictures : mapping of str to bytes, optional
        Photos of the page, WebP, by the path of the address that it has for each.

    Returns
    -------
    bytes
        The PDF.

    Raises
    ------
    PdfError
        Pango is missing on this machine, or others have waited for long already.
    """
    try:
        from weasyprint import CSS, HTML
        from weasyprint.urls import URLFetcher, URLFetcherResponse
    except OSError:  # Pango is no Python package: WeasyPrint looks for it when it is imported
        raise PdfError(_("This machine cannot make a PDF: print this page instead.")) from None

    class OwnFiles(URLFetcher):  # type: ignore[misc]  # the library brings no types
        def fetch(self, url: str, headers: object = None) -> Any:
            held = (pictures or {}).get(urlsplit(url).path)
            return URLFetcherResponse(url, held, {"Content-Type": "image/webp"}) if held else own_static_file(url)

    if not _turn.acquire(timeout=WAIT_S):
        raise PdfError(_("Too many ask for a PDF at this moment: print this page instead, or try again soon."))
    try:
        page = HTML(string=html, base_url=base_url, url_fetcher=OwnFiles())
        made: bytes = page.write_pdf(stylesheets=[CSS(string=f"@page {{ size: {paper.value} }}")])
        return made
    finally:
        _turn.release()


def own_static_file(url: str) -> Any:
    """Open one of the shop's own static files, by its address with or without a host, hashed or as it lies.

    Raises
    ------
    ValueError
        It is none of them; WeasyPrint then goes without.
    """
    from weasyprint.urls import URLFetcherResponse

    path = unquote(urlsplit(url).path)
    file = _lies_at(path.removeprefix(settings.STATIC_URL)) if path.startswith(settings.STATIC_URL) else None
    if file is None:
        raise ValueError(f"Not a static file of the shop: {url}")
    kind = mimetypes.guess_type(file.name)[0] or "application/octet-stream"
    return URLFetcherResponse(url, file.read_bytes(), {"Content-Type": kind})


def _lies_at(name: str) -> Path | None:
    try:
        found = finders.find(name) or safe_join(settings.STATIC_ROOT, name)
    except SuspiciousFileOperation:
        return None
    file = Path(str(found))
    return file if file.is_file() else None
