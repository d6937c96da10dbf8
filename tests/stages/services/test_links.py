from datetime import timedelta

import pytest
from django.utils import timezone

from hulls.models import ProgressLink
from hulls.tokens import token_hash
from stages.engine.errors import EngineError
from stages.models import Entry
from stages.services.links import renew_link, withdraw_link
from tests.factories import a_hull, a_shop, hand

pytestmark = pytest.mark.django_db


@pytest.fixture(autouse=True)
def shop() -> None:
    a_shop()


def open_links() -> list[str]:
    return list(ProgressLink.objects.filter(withdrawn_at__isnull=True).values_list("token_hash", flat=True))


def test_only_the_hash_of_a_token_is_kept_and_the_log_names_neither() -> None:
    hull = a_hull()
    token = renew_link(hull_id=hull.pk, hand=hand())
    assert token is not None
    assert open_links() == [token_hash(token)]
    line = Entry.objects.get(hull=hull, kind="link")
    assert line.details == {"what": "made"}


def test_a_new_link_takes_the_place_of_the_old_one() -> None:
    hull = a_hull()
    renew_link(hull_id=hull.pk, hand=hand())
    token = renew_link(hull_id=hull.pk, hand=hand())
    assert token is not None
    assert open_links() == [token_hash(token)]
    assert ProgressLink.objects.count() == 2


def test_the_same_request_twice_makes_one_link() -> None:
    hull, once = a_hull(), hand()
    assert renew_link(hull_id=hull.pk, hand=once) is not None
    assert renew_link(hull_id=hull.pk, hand=once) is None
    assert len(open_links()) == ProgressLink.objects.count() == 1


def test_a_withdrawn_link_is_closed_and_logged() -> None:
    hull = a_hull()
    renew_link(hull_id=hull.pk, hand=hand())
    assert withdraw_link(hull_id=hull.pk, hand=hand()).done
    assert open_links() == []
    assert [e.details["what"] for e in Entry.objects.filter(kind="link").order_by("number")] == ["made", "withdrawn"]


def test_a_withdrawal_that_arrives_twice_leaves_a_newer_link_alone() -> None:
    hull, once = a_hull(), hand()
    renew_link(hull_id=hull.pk, hand=hand())
    withdraw_link(hull_id=hull.pk, hand=once)
    token = renew_link(hull_id=hull.pk, hand=hand())
    assert withdraw_link(hull_id=hull.pk, hand=once).repeated
    assert token is not None
    assert open_links() == [token_hash(token)]


def test_the_link_of_another_boat_stays_open() -> None:
    one, other = a_hull("H-1"), a_hull("H-2")
    renew_link(hull_id=one.pk, hand=hand())
    kept = renew_link(hull_id=other.pk, hand=hand())
    withdraw_link(hull_id=one.pk, hand=hand())
    assert kept is not None
    assert open_links() == [token_hash(kept)]


def test_a_time_to_come_is_refused_and_nothing_is_made() -> None:
    hull = a_hull()
    with pytest.raises(EngineError):
        renew_link(hull_id=hull.pk, hand=hand(at=timezone.now() + timedelta(hours=1)))
    assert open_links() == []
