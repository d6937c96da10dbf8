"""One-tap actions: what hands did at a hull, by a small form each."""

from collections.abc import Callable

from django.conf import settings
from django.contrib import messages
from django.core.exceptions import PermissionDenied
from django.http import Http404, HttpResponse, HttpResponseRedirect
from django.shortcuts import render
from django.urls import reverse
from django.utils.translation import gettext as _
from django.utils.translation import ngettext
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_POST
from django_htmx.http import HttpResponseClientRedirect, retarget

from shop.access import crew, me
from shop.models import Pulse
from stages.engine.errors import EngineError
from stages.forms.act import ActForm
from stages.forms.acts import ACTS
from stages.forms.photos import PhotoForm, said_of
from stages.queries.sheet import AtHand
from stages.queries.sheet_log import Names, sentence
from stages.saying import said, when
from stages.services import bench, notes
from stages.services.dryness import record_dryness
from stages.services.links import renew_link, withdraw_link
from stages.services.orders import Outcome
from stages.services.photos import add_photos
from stages.services.survey import write_survey
from stages.views.floor import FloorRequest
from stages.views.sheet import TEMPLATE, hull_at_hand, is_kept, shown

REFUSED, TOO_LATE = 422, 409
SERVICES: dict[str, Callable[..., Outcome]] = {
    "start": bench.start_stage,
    "coat": bench.apply_coat,
    "sand": bench.sand,
    "rags": bench.deal_with_rags,
    "tacky": record_dryness,
    "dry": record_dryness,
    "finish": bench.finish_stage,
    "leave_out": bench.leave_out,
    "put_back": bench.put_back,
    "move": notes.move_hull,
    "survey": write_survey,
    "find": notes.add_find,
    "lead_test": notes.record_lead_test,
    "moisture": notes.record_moisture,
    "note": notes.write_note,
    "strike": notes.strike_entry,
    "withdraw_link": withdraw_link,
}


class SeeOther(HttpResponseRedirect):
    """The answer to a post that was done: look there now."""

    status_code = 303


@require_POST
@never_cache
@crew
def act(request: FloorRequest, tag: str, action: str) -> HttpResponse:
    """Record what was done; where that is refused, show why beside what was typed."""
    if action not in ACTS:
        raise Http404(_("Nothing is done that way."))
    if request.POST.get("who", str(me(request).pk)) != str(me(request).pk):
        raise PermissionDenied  # a phone kept it for somebody else
    hull = hull_at_hand(request, tag)
    form = ACTS[action](request.POST, request.FILES, at_hand=hull, stage=request.POST.get("about", ""))
    if not form.is_valid():
        return _again(request, hull, form)
    if (address := form.done_elsewhere()) and not is_kept(request, "act"):
        messages.info(request, _("A boat goes home from this page: what it takes along, and who signs for it."))
        return _led_to(request, address)
    try:
        if action == "link":
            return _link(request, hull, form)
        if isinstance(form, PhotoForm):
            return _photos(request, hull, form)
        outcome = SERVICES[action](hull_id=hull.row.pk, hand=form.hand(me(request), hull.now), **form.told())
    except EngineError as error:
        form.blame(error)
        return _again(request, hull, form)
    if outcome.refused:
        form.refuse(outcome, me(request), hull.now)
        return _again(request, hull, form)
    if (address := form.leads_to(outcome)) and not is_kept(request, "act"):
        return _led_to(request, address)
    return _after(request, hull, outcome)


def _led_to(request: FloorRequest, address: str) -> HttpResponse:
    return HttpResponseClientRedirect(address) if request.htmx else SeeOther(address)


def _again(request: FloorRequest, hull: AtHand, form: ActForm) -> HttpResponse:
    """The form with what was typed and what stands in the way: in its own place, or on the whole page."""
    if not request.htmx:
        return shown(request, hull, bound=form, status=REFUSED)
    page = render(request, f"{TEMPLATE}#act", {"form": form, "tag": hull.hull.tag}, status=REFUSED)
    page["HX-Reswap"] = "outerHTML show:top"
    return retarget(page, f"#{form.id}")


def _after(request: FloorRequest, hull: AtHand, outcome: Outcome) -> HttpResponse:
    """The sheet as it stands after an act, with a word on what was recorded."""
    if outcome.already is not None:
        who = outcome.already.by.called if outcome.already.by else _("Somebody")
        words = {"who": who, "when": when(outcome.already.at, hull.now)}
        messages.info(request, _("%(who)s had recorded this already: %(when)s.") % words)
    elif outcome.entry is not None:
        messages.success(request, sentence(outcome.entry, Names(hull.work, hull.setup)))
        for finding in outcome.findings:
            messages.warning(request, f"{said(finding.words)} {said(finding.clears)}")
    return _sheet_after(request, hull, late=outcome.already is not None)


def _sheet_after(request: FloorRequest, hull: AtHand, *, late: bool = False) -> HttpResponse:
    if is_kept(request, "act"):
        return render(request, "components/messages.html", status=TOO_LATE if late else 200)
    if not request.htmx and not late:
        return SeeOther(reverse("sheet", kwargs={"tag": hull.hull.tag}))
    fresh = hull_at_hand(request, hull.hull.tag, pulse=Pulse.now())
    return shown(request, fresh, part=bool(request.htmx), acted=True, status=TOO_LATE if late else 200)


def _photos(request: FloorRequest, hull: AtHand, form: PhotoForm) -> HttpResponse:
    """Keep the photos that can be kept, and name each that cannot; the form comes back where none could."""
    sent = add_photos(hull_id=hull.row.pk, hand=form.hand(me(request), hull.now), **form.told())
    if not sent.kept:
        form.not_kept(sent.refused)
        return _again(request, hull, form)
    count = len(sent.kept)
    words = ngettext("%(n)s photo kept.", "%(n)s photos kept.", count) % {"n": count}
    messages.success(request, words)
    for file in sent.refused:
        messages.warning(request, said_of(file))
    return _sheet_after(request, hull)


def _link(request: FloorRequest, hull: AtHand, form: ActForm) -> HttpResponse:
    """Make a link and show its address, this once: only its hash is kept."""
    token = renew_link(hull_id=hull.row.pk, hand=form.hand(me(request), hull.now))
    fresh = hull_at_hand(request, hull.hull.tag, pulse=Pulse.now())
    address = _address(request, token) if token else ""
    if not token:
        messages.info(request, _("This link was shown once already. Make a new one if its address is lost."))
    return shown(request, fresh, part=bool(request.htmx), acted=True, address=address)


def _address(request: FloorRequest, token: str) -> str:
    path = reverse("progress", kwargs={"token": token})
    return settings.PUBLIC_URL + path if settings.PRODUCTION else request.build_absolute_uri(path)
