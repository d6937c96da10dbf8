"""Enquiries: kept once, in no flood, and decided once."""

from datetime import date, timedelta

import pytest

from hulls.models import Enquiry, EnquiryState, Hull, Owner
from stages.engine.errors import EngineError
from stages.models import Entry
from stages.services.enquiries import (
    FROM_ALL,
    FROM_ALL_IN,
    FROM_ONE,
    FROM_ONE_IN,
    close_enquiry,
    enquiry_into_hull,
    receive_enquiry,
    sender_of,
)
from tests.factories import a_shop, hand, the_shop_owner
from tests.stages.enquiring import NOON, a_letter, an_enquiry

pytestmark = pytest.mark.django_db


def a_new_hull(tag: str = "H-9") -> Hull:
    """A hull that is not taken in yet."""
    sizes = {"length_m": 4.9, "beam_m": 0.88, "depth_m": 0.31, "end_depth_m": 0.58}
    return Hull(tag=tag, owner=Owner(name="Ada Reed"), arrived_on=date(2031, 5, 5), **sizes)


def take_it_in(enquiry: Enquiry, hull: Hull) -> Hull:
    return enquiry_into_hull(enquiry=enquiry.pk, hull=hull, hand=hand(the_shop_owner()), old_finish=[])


# --- Kept once


def test_it_is_kept_with_its_inputs_and_its_list() -> None:
    letter = a_letter(name="Zoë 山田 Ågren", words="Two lines,\nand a half.")
    made = receive_enquiry(letter=letter, now=NOON).enquiry
    kept = Enquiry.objects.get()
    assert kept == made
    assert (kept.name, kept.email, kept.words) == ("Zoë 山田 Ågren", "ada@example.org", "Two lines,\nand a half.")
    assert (kept.query, kept.listed, kept.made_at) == (letter.query, letter.listed, NOON)
    assert kept.state == EnquiryState.OPEN


def test_the_address_itself_is_not_kept() -> None:
    made = an_enquiry(address="203.0.113.7")
    assert "203.0.113" not in str(Enquiry.objects.filter(pk=made.pk).values())


def test_the_same_page_s_token_is_one_enquiry_whatever_it_says() -> None:
    first = an_enquiry(token="t")
    again = receive_enquiry(letter=a_letter(token="t", words="something else"), now=NOON)
    assert (again.enquiry, again.repeated, again.other_words) == (first, True, True)
    assert Enquiry.objects.count() == 1


def test_the_same_words_from_another_page_are_one_enquiry_while_it_is_open() -> None:
    first = an_enquiry(words="The same.", email="Ada@example.org")
    again = receive_enquiry(letter=a_letter(words="The same.", email="ada@example.org"), now=NOON)
    assert (again.enquiry, again.repeated) == (first, True)
    close_enquiry(enquiry=first.pk, reason="answered by telephone", by=the_shop_owner())
    later = receive_enquiry(letter=a_letter(words="The same."), now=NOON)
    assert not later.repeated
    assert Enquiry.objects.count() == 2


@pytest.mark.parametrize("other", [{"words": "Other."}, {"query": "length=15+ft"}, {"email": "b@example.org"}])
def test_other_words_or_another_boat_are_another_enquiry(other: dict[str, str]) -> None:
    an_enquiry(words="The same.")
    assert not receive_enquiry(letter=a_letter(**{"words": "The same.", **other}), now=NOON).repeated


def test_fields_that_run_into_each_other_are_not_the_same_words() -> None:
    assert a_letter(name="ab", email="c", words="").digest != a_letter(name="a", email="bc", words="").digest


# --- In no flood


def test_one_sender_s_letters_are_taken_up_to_the_limit_and_again_when_the_time_is_over() -> None:
    for minute in range(FROM_ONE):
        an_enquiry(NOON + timedelta(minutes=minute))
    last = NOON + timedelta(minutes=FROM_ONE)
    refused = receive_enquiry(letter=a_letter(), now=last)
    assert refused.enquiry is None
    assert refused.retry_at == NOON + FROM_ONE_IN
    assert receive_enquiry(letter=a_letter(address="203.0.113.8"), now=last).enquiry  # another sender
    assert receive_enquiry(letter=a_letter(), now=NOON + FROM_ONE_IN - timedelta(seconds=1)).enquiry is None
    assert receive_enquiry(letter=a_letter(), now=NOON + FROM_ONE_IN).enquiry


def test_all_together_are_taken_up_to_the_limit() -> None:
    for number in range(FROM_ALL):
        an_enquiry(address=f"198.51.100.{number}")
    refused = receive_enquiry(letter=a_letter(address="192.0.2.1"), now=NOON + timedelta(hours=2))
    assert refused.retry_at == NOON + FROM_ALL_IN
    assert receive_enquiry(letter=a_letter(address="192.0.2.1"), now=NOON + FROM_ALL_IN).enquiry


def test_what_was_sent_before_is_no_part_of_a_flood() -> None:
    first = an_enquiry(token="t")
    for _ in range(FROM_ONE - 1):
        an_enquiry()
    again = receive_enquiry(letter=a_letter(token="t"), now=NOON)
    assert again.enquiry == first


def test_a_network_of_the_newer_internet_is_one_sender_and_its_neighbour_another() -> None:
    """RFC 4291, 2.5.4: the first 64 bits of an IPv6 address are the network's."""
    assert sender_of("2001:db8:0:1::1") == sender_of("2001:db8:0:1:ffff::2")
    assert sender_of("2001:db8:0:1::1") != sender_of("2001:db8:0:2::1")
    assert sender_of("203.0.113.7") != sender_of("203.0.113.8")
    assert sender_of("") != sender_of("203.0.113.7")


# --- Decided once


def test_it_becomes_a_hull_that_it_is_linked_to_and_again_the_same_one() -> None:
    a_shop()
    enquiry = an_enquiry()
    hull = take_it_in(enquiry, a_new_hull())
    enquiry.refresh_from_db()
    assert (enquiry.state, enquiry.hull, enquiry.decided_by) == (EnquiryState.HULL, hull, the_shop_owner())
    assert Entry.objects.filter(hull=hull).count() == 1
    assert take_it_in(enquiry, a_new_hull("H-10")) == hull
    assert Hull.objects.count() == 1


def test_a_hull_that_is_refused_leaves_it_open() -> None:
    a_shop()
    take_it_in(an_enquiry(), a_new_hull("H-9"))
    other = an_enquiry()
    with pytest.raises(EngineError):
        take_it_in(other, a_new_hull("h-9"))
    other.refresh_from_db()
    assert other.is_open
    assert Owner.objects.count() == 1


def test_a_closed_one_becomes_no_hull() -> None:
    a_shop()
    enquiry = an_enquiry()
    close_enquiry(enquiry=enquiry.pk, reason="too far away", by=the_shop_owner())
    with pytest.raises(EngineError):
        take_it_in(enquiry, a_new_hull())
    assert not Hull.objects.exists()


def test_it_is_closed_with_its_first_reason() -> None:
    enquiry = an_enquiry()
    for reason in ("too far away", "another word"):
        close_enquiry(enquiry=enquiry.pk, reason=reason, by=the_shop_owner())
    enquiry.refresh_from_db()
    assert (enquiry.state, enquiry.reason) == (EnquiryState.CLOSED, "too far away")


def test_without_a_reason_or_as_a_hull_it_is_not_closed() -> None:
    a_shop()
    enquiry = an_enquiry()
    with pytest.raises(EngineError):
        close_enquiry(enquiry=enquiry.pk, reason=" ", by=the_shop_owner())
    take_it_in(enquiry, a_new_hull())
    with pytest.raises(EngineError):
        close_enquiry(enquiry=enquiry.pk, reason="too late", by=the_shop_owner())
    enquiry.refresh_from_db()
    assert enquiry.state == EnquiryState.HULL
