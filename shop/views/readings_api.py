"""The sensors' way in: readings as JSON, or in the address from a sensor that can do no better."""

import math
from collections.abc import Callable
from datetime import datetime
from functools import wraps
from typing import Any

from django.conf import settings
from django.http import HttpRequest, JsonResponse
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.cache import never_cache
from django.views.decorators.csrf import csrf_exempt

from shop.models import Sensor
from shop.readings.ingest import TakenIn, take_in
from shop.readings.openapi import document
from shop.readings.pace import count_request, wait_s
from shop.readings.payload import (
    MOST_BYTES,
    PayloadError,
    Refused,
    Sent,
    TooLargeError,
    TooManyError,
    items_of,
    numbers_of,
    read_items,
)
from shop.readings.saying import FLAG_WORDS
from shop.services.sensors import digest_of

LONGEST_TOKEN = 100
UNREAD = {
    PayloadError: (400, "not_readable"),
    TooLargeError: (413, "too_large"),
    TooManyError: (413, "too_many"),
}
ApiView = Callable[..., JsonResponse]


class _Problem(Exception):
    """Why nothing of a request is read."""

    def __init__(self, status: int, error: str, reason: str, **headers: str) -> None:
        super().__init__(reason)
        self.status, self.body, self.headers = status, {"error": error, "reason": reason}, headers


def _api(method: str) -> Callable[[ApiView], ApiView]:
    """A view for devices: no session and so no CSRF, one method, every answer JSON and never kept."""

    def decorate(view: ApiView) -> ApiView:
        @csrf_exempt
        @never_cache
        @wraps(view)
        def answer(request: HttpRequest) -> JsonResponse:
            try:
                if request.method != method:
                    words = _("This address takes %(method)s only.") % {"method": method}
                    raise _Problem(405, "method_not_allowed", words, Allow=method)
                return view(request)
            except _Problem as problem:
                return JsonResponse(problem.body, status=problem.status, headers=problem.headers)

        return answer

    return decorate


@_api("POST")
def readings(request: HttpRequest) -> JsonResponse:
    """Take in one reading, or a list of them."""
    scheme, _space, token = request.headers.get("Authorization", "").partition(" ")
    now = timezone.now()
    sensor = _sensor(token.strip() if scheme.casefold() == "bearer" else "", now)
    try:
        items = items_of(_body(request))
    except PayloadError as error:
        count_request(sensor=sensor, now=now)
        raise _Problem(*UNREAD[type(error)], str(error)) from error
    return _take(sensor, items, now)


@_api("GET")
def add_reading(request: HttpRequest) -> JsonResponse:
    """Take in the one reading that stands in the address."""
    now = timezone.now()
    sensor = _sensor(request.GET.get("token", ""), now)
    return _take(sensor, [numbers_of(request.GET.dict())], now)


@_api("GET")
def openapi(request: HttpRequest) -> JsonResponse:
    """Say what these addresses take and answer."""
    return JsonResponse(document(settings.PUBLIC_URL))


def _sensor(token: str, now: datetime) -> Sensor:
    held = Sensor.objects.select_related("zone").filter(token_digest=digest_of(token))
    sensor = held.first() if 0 < len(token) <= LONGEST_TOKEN else None
    if sensor is None:
        words = _("There is no sensor with this token.")
        raise _Problem(401, "unknown_token", words, **{"WWW-Authenticate": "Bearer"})
    if wait := wait_s(sensor=sensor, now=now):
        seconds = math.ceil(wait)
        words = _("Too many requests. Send again in %(seconds)d s, many readings at once.") % {"seconds": seconds}
        raise _Problem(429, "too_fast", words, **{"Retry-After": str(seconds)})
    return sensor


def _body(request: HttpRequest) -> bytes:
    told = request.headers.get("Content-Length", "")
    body = b"" if told.isdecimal() and int(told) > MOST_BYTES else request.read(MOST_BYTES + 1)
    if len(body) > MOST_BYTES or (told.isdecimal() and int(told) > MOST_BYTES):
        words = _("The body has more than %(most)d bytes. Send the readings in parts.") % {"most": MOST_BYTES}
        raise TooLargeError(words)
    return body


def _take(sensor: Sensor, items: list[object], now: datetime) -> JsonResponse:
    sent, refused = read_items(items, now)
    air = [one for one in sent if one.air]
    rain = [one for one in sent if one.rain and sensor.zone.outdoors]
    refused += [_indoors(one) for one in sent if one.rain and not sensor.zone.outdoors]
    if not air and not rain:
        count_request(sensor=sensor, now=now)
        return _answer(TakenIn(), TakenIn(), air, rain, refused)
    taken_air, taken_rain = take_in(
        sensor=sensor,
        now=now,
        air=[one.air for one in air if one.air],
        rain=[one.rain for one in rain if one.rain],
        requests=1,
    )
    return _answer(taken_air, taken_rain, air, rain, refused)


def _indoors(one: Sent) -> Refused:
    return Refused(index=one.index, field="rain_mm", reason=_("It does not rain in the zone of this sensor."))


def _answer(
    taken_air: TakenIn, taken_rain: TakenIn, air: list[Sent], rain: list[Sent], refused: list[Refused]
) -> JsonResponse:
    for taken, sent, field in ((taken_air, air, ""), (taken_rain, rain, "rain_mm")):
        refused += [Refused(index=sent[n].index, field=field, reason=why) for n, why in taken.conflicts.items()]
    kept = taken_air.recorded + taken_air.repeated + taken_rain.recorded + taken_rain.repeated
    body: dict[str, Any] = {
        "recorded": taken_air.recorded + taken_rain.recorded,
        "repeated": taken_air.repeated + taken_rain.repeated,
        "flagged": [
            {"index": air[n].index, "flag": flag.value, "reason": str(FLAG_WORDS[flag])}
            for n, flag in sorted(taken_air.flagged.items())
        ],
        "refused": [
            {"index": one.index, "field": one.field, "reason": one.reason}
            for one in sorted(refused, key=lambda one: one.index)
        ],
    }
    return JsonResponse(body, status=422 if refused and not kept else 200)
