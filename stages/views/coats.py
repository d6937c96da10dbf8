"""One coat: its age curve against the air, and what would be if the room were kept otherwise."""

from django.http import Http404, HttpResponse
from django.shortcuts import render
from django.utils.translation import gettext as _
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_safe

from shop.access import lookers
from stages.forms.what_if import WhatIfForm
from stages.queries.coat_clock import coat_of, coat_page
from stages.views.floor import FloorRequest
from stages.views.sheet import hull_at_hand


@require_safe
@never_cache
@lookers
def coat_clock(request: FloorRequest, tag: str, line: int) -> HttpResponse:
    """The dry clock of the coat that a line of a hull's log put on; with ``?room=`` in another air from now on."""
    hull = hull_at_hand(request, tag)
    coat = coat_of(hull.work, line)
    if coat is None:
        raise Http404(_("Line %(line)s of its log put on no coat that is still there.") % {"line": line})
    form = WhatIfForm(request.GET if "room" in request.GET else None, shop=request.shop, auto_id="what-if-%s")
    page = coat_page(hull, coat, form.asked)
    return render(request, "stages/coat.html", {"page": page, "form": form, "hull": hull.hull})
