"""A boat's photos as the shop sees them: as a film, by step, in pairs, and one by one."""

from collections.abc import Iterable
from dataclasses import dataclass
from itertools import groupby

from django.db.models import QuerySet
from django.urls import reverse

from hulls.models import Hull, Photo, PhotoState, TimeLapse
from hulls.photo_shown import Shown, shown
from hulls.time_lapse import pairs_of
from stages.engine.log import EntryKind
from stages.engine.route import Route
from stages.models import Entry


@dataclass(frozen=True, slots=True, kw_only=True)
class Pair:
    """Before and after, by the same view."""

    view: str
    before: Shown
    after: Shown


@dataclass(frozen=True, slots=True, kw_only=True)
class AtStep:
    """The photos of one step, by its name; those of none come last."""

    name: str
    photos: tuple[Shown, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Album:
    """All photos of a boat: in the order in which they were taken, in pairs, and by step."""

    film: tuple[Shown, ...]
    pairs: tuple[Pair, ...]
    steps: tuple[AtStep, ...]
    time_lapse: bool

    @property
    def waits(self) -> bool:
        """Whether one is still being worked on."""
        return any(photo.waiting for photo in self.film)


def in_sight_of(hull_id: int) -> QuerySet[Photo]:
    """The photos of a hull whose lines stand; the paper that its owner signed belongs to the finish record."""
    return Photo.objects.filter(hull_id=hull_id, struck_at=None, signed_paper=False).exclude(state=PhotoState.GONE)


def in_sight(hull_id: int) -> list[Photo]:
    """The same in the order in which they were taken."""
    return list(in_sight_of(hull_id).order_by("taken_at", "pk"))


def shared_photos() -> QuerySet[Photo]:
    """The photos that boats' owners may see."""
    return Photo.objects.filter(shared=True, state=PhotoState.READY, struck_at=None, signed_paper=False)


def for_the_crew(photo: Photo, route: Route) -> Shown:
    """A photo as the crew's pages show it."""
    spec = route.by_key.get(photo.stage)
    return shown(photo, _address, spec.name if spec else "")


def _address(pk: int, size: str) -> str:
    return reverse("photo", kwargs={"pk": pk, "size": size})


def album_of(hull: Hull, route: Route) -> Album:
    """All photos of a hull, in two queries."""
    photos = in_sight(hull.pk)
    film = {photo.pk: for_the_crew(photo, route) for photo in photos}
    lapse = TimeLapse.objects.filter(hull_id=hull.pk).first()
    return Album(
        film=tuple(film.values()),
        pairs=pairs_shown(photos, film),
        steps=tuple(_by_step(photos, film, route)),
        time_lapse=bool(lapse and lapse.whole),
    )


def pairs_shown(photos: list[Photo], film: dict[int, Shown]) -> tuple[Pair, ...]:
    """Pairs of before and after among photos, as a page shows them."""
    ready = [photo for photo in photos if photo.state == PhotoState.READY]
    return tuple(
        Pair(view=film[before.pk].view, before=film[before.pk], after=film[after.pk])
        for before, after in pairs_of(ready)
    )


def _by_step(photos: list[Photo], film: dict[int, Shown], route: Route) -> Iterable[AtStep]:
    order = {spec.key: n for n, spec in enumerate(route.stages)}
    in_order = sorted(photos, key=lambda photo: order.get(photo.stage, len(order)))
    for name, found in groupby(in_order, key=lambda photo: film[photo.pk].stage):
        yield AtStep(name=name, photos=tuple(film[photo.pk] for photo in found))


def line_of(photo: Photo) -> int | None:
    """The line of the log that a photo was kept with."""
    lines = Entry.objects.filter(hull_id=photo.hull_id, kind=EntryKind.PHOTO, details__photo=photo.pk)
    return lines.order_by("number").values_list("number", flat=True).first()
