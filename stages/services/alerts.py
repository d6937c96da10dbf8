"""The shop is written to when the chance of a promise falls under its limit, or no day can be named any more."""

from collections.abc import Sequence
from uuid import NAMESPACE_URL, uuid5

from django.conf import settings
from django.urls import reverse
from django.utils import timezone
from django.utils.formats import date_format
from django.utils.html import format_html, format_html_join
from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from shop.mail.mime import AddressError, Letter, wire_address
from shop.mail.smtp import Answer, Fate, hand_over, sender_of, why_off
from shop.models import Shop
from stages.models import HullDates
from stages.queries.dates import in_words


class NotTakenError(RuntimeError):
    """The mail server did not take the alert; the job tries again later."""


def send_alert(*, dates: Sequence[int]) -> Answer | None:
    """Write to the shop's own address of the promises that fell under its limit.

    Parameters
    ----------
    dates : sequence of int
        Keys of the rows by which they fell.

    Returns
    -------
    Answer or None
        What the mail server said; None where mail is off, the shop has no address, or the boats are home by now.

    Raises
    ------
    NotTakenError
        When the server is away or asks to be tried again.
    """
    shop = Shop.the_one()
    rows = list(HullDates.objects.filter(pk__in=dates, hull__work__handed_over_at=None).select_related("hull__owner"))
    if why_off(shop) or not shop.email or not rows:
        return None
    try:
        with timezone.override(shop.zone_info):
            content = bytes(_letter(shop, rows))
        answer = hand_over(content=content, sender=wire_address(sender_of(shop)), to=wire_address(shop.email))
    except AddressError:
        return None
    if answer.fate is Fate.LATER:
        raise NotTakenError(answer.words)
    return answer


def _letter(shop: Shop, rows: Sequence[HullDates]) -> Letter:
    number = uuid5(NAMESPACE_URL, f"promises:{min(row.pk for row in rows)}:{rows[0].made_at.timestamp()}")
    lines = [_line(row) for row in rows]
    page = settings.PUBLIC_URL + reverse("floor")
    subject = ngettext("A promise is in danger: %(tags)s", "Promises are in danger: %(tags)s", len(rows))
    return Letter(
        number=number,
        message_id=f"<{number}@{wire_address(sender_of(shop)).rpartition('@')[2]}>",
        at=timezone.localtime(rows[0].made_at).replace(microsecond=0),
        sender_name=shop.name,
        sender=sender_of(shop),
        to_name=shop.name,
        to=shop.email,
        subject=subject % {"tags": ", ".join(row.hull.tag for row in rows)},
        text="\n".join([*lines, "", page]),
        html=format_html(
            '<ul>{}</ul><p><a href="{}">{}</a></p>',
            format_html_join("", "<li>{}</li>", ((line,) for line in lines)),
            page,
            page,
        ),
    )


def _line(row: HullDates) -> str:
    boat = {
        "tag": row.hull.tag,
        "name": row.hull.name,
        "promised": date_format(row.promised_on, "Y-m-d") if row.promised_on else "",
    }
    if row.days is None:
        words, why = _("%(tag)s %(name)s, promised for %(promised)s: no date.") % boat, row.no_date
    else:
        chance = {"chance": round(row.chance_pct or 0.0), "likely": date_format(row.days.likely, "Y-m-d")}
        words = _("%(tag)s %(name)s, promised for %(promised)s: chance %(chance)s %%, likely %(likely)s.")
        words, why = words % {**boat, **chance}, row.why
    return f"{words} {in_words(why)}".rstrip()
