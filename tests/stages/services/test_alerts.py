"""The letter by which the shop hears that a promise is in danger, with a real mail server."""

from datetime import date

import pytest
from django.utils import timezone

from shop.jobs.registry import handler_for
from shop.models import Shop
from stages.models import HullDates
from stages.services.alerts import NotTakenError, send_alert
from tests.factories import a_hull, a_shop
from tests.fixtures.post_office import PostOffice

pytestmark = pytest.mark.django_db


def in_danger() -> HullDates:
    """A hull whose promise will hardly be kept."""
    a_shop()
    Shop.objects.update(email="shop@example.org", alert_by_letter=True)
    day = date(2030, 5, 9)
    return HullDates.objects.create(
        hull=a_hull("H-7", name="Tern"),
        made_at=timezone.now(),
        early_on=day,
        likely_on=day,
        late_on=day,
        suggested_on=day,
        promised_on=date(2030, 5, 2),
        chance_pct=12.4,
        why=[{"text": "%(what)s is still soft.", "values": {"what": "The filler"}}],
    )


def test_the_shop_reads_which_boat_and_why(mail_on: PostOffice) -> None:
    row = in_danger()
    handler_for("promise_alert")({"dates": [row.pk]})()
    letter = mail_on.letters[0]
    assert letter["To"] == "The test shop <shop@example.org>"
    assert letter["Subject"] == "A promise is in danger: H-7"
    text = letter.get_body(("plain",))
    assert text is not None
    assert text.get_content().startswith(
        "H-7 Tern, promised for 2030-05-02: chance 12 %, likely 2030-05-09. The filler is still soft."
    )


def test_the_shop_reads_which_boat_has_no_date_any_more_and_why(mail_on: PostOffice) -> None:
    row = in_danger()
    HullDates.objects.filter(pk=row.pk).update(
        **dict.fromkeys(("early_on", "likely_on", "late_on", "suggested_on", "chance_pct")),
        no_date=[{"text": "“%(resource)s” has no place.", "values": {"resource": "canvas rig"}}],
    )
    send_alert(dates=[row.pk])
    text = mail_on.letters[0].get_body(("plain",))
    assert text is not None
    said = text.get_content().splitlines()[0]
    assert said == "H-7 Tern, promised for 2030-05-02: no date. “canvas rig” has no place."


def test_a_server_that_asks_to_wait_is_tried_again(mail_on: PostOffice) -> None:
    row = in_danger()
    mail_on.to_rcpt = "451 4.3.0 later"
    with pytest.raises(NotTakenError):
        send_alert(dates=[row.pk])


def test_the_demo_shop_writes_to_nobody(mail_on: PostOffice) -> None:
    row = in_danger()
    Shop.objects.update(is_demo=True)
    assert send_alert(dates=[row.pk]) is None
    assert mail_on.came == []
