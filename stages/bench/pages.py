"""How long pages take, beside an empty page through the same middleware; the same measurements for any shop size."""

from collections.abc import Callable
from statistics import median
from time import perf_counter

from django.conf import settings
from django.contrib.auth.decorators import login_required
from django.http import HttpRequest, HttpResponse
from django.test import Client, override_settings
from django.urls import include, path

from shop.models import CrewMember
from stages.bench.figures import Figure
from stages.bench.yard import Copier

SIZES = (12, 60, 600)
ROUNDS = 15


@login_required
def empty(request: HttpRequest) -> HttpResponse:
    """The named reference: a view for logged-in people that answers an empty page."""
    return HttpResponse("<!doctype html><title>empty</title>")


urlpatterns = [path("", include("shop.urls")), path("empty/", empty)]


# Hashed names of static files need a collected folder, which a fresh checkout has not.
PLAIN = {"staticfiles": {"BACKEND": "django.contrib.staticfiles.storage.StaticFilesStorage"}}


@override_settings(
    ROOT_URLCONF="stages.bench.pages", ALLOWED_HOSTS=["testserver"], STORAGES={**settings.STORAGES, **PLAIN}
)
def measure() -> list[Figure]:
    """Floor at each size, and the unchanged poll, each beside the empty page measured in the same run."""
    copier = Copier()
    client = Client()
    client.force_login(CrewMember.objects.get(username="owner"))
    found = []
    for size in SIZES:
        copier.grow_to(size)
        found.append(_page(client, f"floor with {size} hulls", "/", 200))
    part = _poll_address(client)
    found.append(_page(client, f"unchanged poll of the floor, {SIZES[-1]} hulls", part, 204))
    return found


def _poll_address(client: Client) -> str:
    html = client.get("/").content.decode()
    start = html.index("/floor/part/")
    return html[start : html.index('"', start)].replace("&amp;", "&")


def _page(client: Client, name: str, address: str, status: int) -> Figure:
    def ask(where: str, wanted: int) -> None:
        answer = client.get(where)
        if answer.status_code != wanted:
            raise RuntimeError(f"{where} answered {answer.status_code}, not {wanted}")

    return Figure(
        name=name,
        ours_s=timed(lambda: ask(address, status)),
        peer_s=timed(lambda: ask("/empty/", 200)),
        peer="empty Django view",
    )


def timed(ask: Callable[[], None], rounds: int = ROUNDS) -> float:
    """Median seconds of a number of rounds, after one that does not count."""
    ask()
    taken = []
    for _ in range(rounds):
        begun = perf_counter()
        ask()
        taken.append(perf_counter() - begun)
    return median(taken)
