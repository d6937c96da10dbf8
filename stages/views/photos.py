"""Photos of hulls, for those who work here; the boat's owner sees theirs by the progress link."""

from django.core.exceptions import PermissionDenied
from django.http import Http404, HttpRequest, HttpResponse, HttpResponseNotModified
from django.shortcuts import get_object_or_404, redirect, render
from django.utils.translation import gettext as _
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_POST, require_safe

from hulls.models import Photo, PhotoState, TimeLapse
from hulls.photo_files import read
from hulls.photos.copies import SIDES
from shop.access import crew, lookers, me
from stages.engine.errors import EngineError
from stages.forms.acts import ACTS
from stages.forms.photos import AboutPhotoForm
from stages.queries.photos import album_of, for_the_crew, in_sight_of, line_of
from stages.queries.sheet import AtHand
from stages.services.photos import change_photo
from stages.views.floor import FloorRequest
from stages.views.sheet import hull_at_hand

REFUSED = 422


@require_safe
@lookers
def photo(request: HttpRequest, pk: int, size: str) -> HttpResponse:
    """A copy of a photo; nothing of one that was struck."""
    if size not in SIDES:
        raise Http404(_("There is no such size."))
    found = get_object_or_404(Photo, pk=pk, state=PhotoState.READY, struck_at=None)
    if found.signed_paper and not me(request).may_work:
        raise PermissionDenied  # a screen on the wall shows nobody's signature
    return picture(request, found.name(size))


@require_safe
@lookers
def time_lapse(request: FloorRequest, tag: str) -> HttpResponse:
    """The time-lapse of all photos of a hull."""
    found = get_object_or_404(TimeLapse.objects.exclude(whole=""), hull__tag=tag)
    return picture(request, found.whole)


def picture(request: HttpRequest, name: str) -> HttpResponse:
    """A picture of ours. Browsers keep it, and ask each time whether it may still be seen."""
    tag = f'"{name}"'
    if tag in request.headers.get("If-None-Match", ""):  # weak where the answer was compressed on its way
        response: HttpResponse = HttpResponseNotModified()
    else:
        try:
            response = HttpResponse(read(name), content_type="image/webp")
        except FileNotFoundError:
            raise Http404(_("The photo's file is gone.")) from None
    response["ETag"] = tag
    response["Cache-Control"] = "private, no-cache"
    response["X-Content-Type-Options"] = "nosniff"
    return response


@require_safe
@never_cache
@lookers
def hull_photos(request: FloorRequest, tag: str) -> HttpResponse:
    """All photos of a hull: as a film, in pairs, by step."""
    hull = hull_at_hand(request, tag)
    page = {
        "hull": hull.hull,
        "album": album_of(hull.hull, hull.work.route),
        "form": ACTS["photo"](at_hand=hull) if me(request).may_work else None,
    }
    return render(request, "stages/photos.html", page)


@require_safe
@never_cache
@lookers
def hull_photo(request: FloorRequest, tag: str, pk: int) -> HttpResponse:
    """One photo, with what is said of it."""
    hull = hull_at_hand(request, tag)
    found = _photo_of(hull, pk)
    return _one(request, hull, found, AboutPhotoForm(photo=found, route=hull.work.route))


@require_POST
@crew
def photo_change(request: FloorRequest, tag: str, pk: int) -> HttpResponse:
    """Say anew what a photo shows and who sees it."""
    hull = hull_at_hand(request, tag)
    found = _photo_of(hull, pk)
    form = AboutPhotoForm(request.POST, photo=found, route=hull.work.route)
    if form.is_valid():
        try:
            if form.says_anew:
                change_photo(hull_id=hull.row.pk, photo=pk, hand=form.hand(me(request), hull.now), **form.told())
            return redirect("hull_photo", tag=tag, pk=pk)
        except EngineError as error:
            form.blame(error)
    return _one(request, hull, found, form, status=REFUSED)


def _one(request: FloorRequest, hull: AtHand, found: Photo, form: AboutPhotoForm, *, status: int = 200) -> HttpResponse:
    page = {"hull": hull.hull, "photo": for_the_crew(found, hull.work.route)}
    if me(request).may_work:
        page |= {"form": form, "strike": ACTS["strike"](at_hand=hull, given={"number": line_of(found)})}
    return render(request, "stages/photo.html", page, status=status)


def _photo_of(hull: AtHand, pk: int) -> Photo:
    return get_object_or_404(in_sight_of(hull.row.pk), pk=pk)
