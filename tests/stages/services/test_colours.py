"""The colour of a boat: asked, chosen once, and taken over."""

from datetime import timedelta

import pytest
from django.utils import timezone

from hulls.models import ColourAsk, Hull, Message, MessageKind
from stages.engine.errors import EngineError
from stages.services import bench
from stages.services.colours import MOST_OFFERS, Offer, ask_colour, choose_colour, take_colour, withdraw_colour
from tests.factories import a_hull, a_shop, hand, product, the_shop_owner
from tests.stages.at_work import SKIP, a_primed_hull
from tests.stages.behind_the_link import link_to
from tests.stages.writing import BLUE, GREEN, a_guest, an_asked_colour

pytestmark = pytest.mark.django_db


@pytest.fixture
def hull() -> Hull:
    a_shop()
    return a_hull(colour="#d8cdb0", colour_name="old cream")


def colour_of(hull: Hull) -> tuple[str, str]:
    hull.refresh_from_db()
    return hull.colour, hull.colour_name


def a_painted_hull() -> Hull:
    """A hull with its first coat of enamel."""
    then = timezone.now() - timedelta(days=3)
    hull = a_primed_hull("H-2", coat_at=then, colour="#d8cdb0", colour_name="old cream")
    by = hand(by=the_shop_owner(), at=then + timedelta(days=2), override=SKIP)
    for outcome in (
        bench.leave_out(hull_id=hull.pk, stage="prime", reason=SKIP, hand=by),
        bench.start_stage(hull_id=hull.pk, stage="enamel", hand=hand(by=the_shop_owner(), at=by.at, override=SKIP)),
        bench.apply_coat(
            hull_id=hull.pk,
            stage="enamel",
            product=product("enamel").pk,
            surface="skin",
            hand=hand(by=the_shop_owner(), at=by.at, override=SKIP),
        ),
    ):
        assert outcome.done, outcome.findings
    return hull


def test_a_colour_of_the_offers_becomes_the_boat_s_at_once(hull: Hull) -> None:
    ask = an_asked_colour(hull)
    chosen = choose_colour(hull_id=hull.pk, ask=ask.pk, offer=1, words="", guest=a_guest())
    assert colour_of(hull) == (BLUE.colour, BLUE.name)
    assert (chosen.taken_at, chosen.taken_by) == (chosen.chosen_at, None)


def test_a_colour_that_is_described_waits_for_the_shop(hull: Hull) -> None:
    ask = an_asked_colour(hull)
    chosen = choose_colour(hull_id=hull.pk, ask=ask.pk, offer=None, words=" like moss after rain ", guest=a_guest())
    assert (chosen.words, chosen.taken_at) == ("like moss after rain", None)
    assert colour_of(hull) == ("#d8cdb0", "old cream")
    moss = Offer(name="moss green", colour="#4A5D3A")
    boss, now = the_shop_owner(), timezone.now()
    taken = take_colour(hull_id=hull.pk, ask=ask.pk, offer=moss, by=boss, at=now)
    assert colour_of(hull) == ("#4a5d3a", "moss green")
    again = take_colour(hull_id=hull.pk, ask=ask.pk, offer=GREEN, by=boss, at=now + timedelta(hours=1))
    assert (again.taken_at, again.taken_by) == (taken.taken_at, boss)
    assert colour_of(hull) == ("#4a5d3a", "moss green")


def test_on_a_painted_boat_every_choice_waits_for_the_shop() -> None:
    a_shop()
    hull = a_painted_hull()
    ask = an_asked_colour(hull)
    chosen = choose_colour(hull_id=hull.pk, ask=ask.pk, offer=0, words="", guest=a_guest())
    assert (chosen.name, chosen.taken_at) == (GREEN.name, None)
    assert colour_of(hull) == ("#d8cdb0", "old cream")


def test_it_is_chosen_once_and_the_same_again_is_the_first(hull: Hull) -> None:
    ask = an_asked_colour(hull)
    first = choose_colour(hull_id=hull.pk, ask=ask.pk, offer=1, words="", guest=a_guest())
    later = a_guest(timezone.now() + timedelta(hours=1))
    assert choose_colour(hull_id=hull.pk, ask=ask.pk, offer=1, words="", guest=later).chosen_at == first.chosen_at
    with pytest.raises(EngineError, match="chosen another"):
        choose_colour(hull_id=hull.pk, ask=ask.pk, offer=0, words="", guest=later)
    assert colour_of(hull) == (BLUE.colour, BLUE.name)


@pytest.mark.parametrize(("offer", "words", "field"), [(2, "", "offer"), (-1, "", "offer"), (None, " ", "words")])
def test_what_is_no_choice_is_refused_beside_it(hull: Hull, offer: int | None, words: str, field: str) -> None:
    ask = an_asked_colour(hull)
    with pytest.raises(EngineError) as refused:
        choose_colour(hull_id=hull.pk, ask=ask.pk, offer=offer, words=words, guest=a_guest())
    assert refused.value.field == field
    assert ColourAsk.objects.get().chosen_at is None


def test_where_only_the_offers_count_nothing_is_described(hull: Hull) -> None:
    ask = an_asked_colour(hull, open_to_words=False)
    with pytest.raises(EngineError, match="one of these"):
        choose_colour(hull_id=hull.pk, ask=ask.pk, offer=None, words="like moss", guest=a_guest())


def test_what_was_withdrawn_or_asked_of_another_boat_cannot_be_chosen(hull: Hull) -> None:
    ask = an_asked_colour(hull)
    for hull_id in (a_hull("H-2").pk, hull.pk):
        if hull_id == hull.pk:
            withdraw_colour(hull_id=hull.pk, ask=ask.pk, at=timezone.now())
        with pytest.raises(EngineError, match="not ask"):
            choose_colour(hull_id=hull_id, ask=ask.pk, offer=0, words="", guest=a_guest())


def test_one_question_waits_at_a_time_and_the_same_form_is_one(hull: Hull) -> None:
    sent = hand()
    first = ask_colour(hull_id=hull.pk, offers=[GREEN], open_to_words=False, hand=sent)
    assert ask_colour(hull_id=hull.pk, offers=[GREEN], open_to_words=False, hand=sent) == first
    with pytest.raises(EngineError, match="asked already"):
        an_asked_colour(hull)
    withdraw_colour(hull_id=hull.pk, ask=first.pk, at=timezone.now())
    assert an_asked_colour(hull).waits


@pytest.mark.parametrize(
    "offers",
    [(), (Offer(name="", colour="#2f5d46"),), (Offer(name="green", colour="green"),), (GREEN,) * (MOST_OFFERS + 1)],
)
def test_nothing_to_choose_from_and_what_is_no_colour_is_refused(hull: Hull, offers: tuple[Offer, ...]) -> None:
    with pytest.raises(EngineError) as refused:
        ask_colour(hull_id=hull.pk, offers=offers, open_to_words=False, hand=hand())
    assert refused.value.field == "offers"
    assert not ColourAsk.objects.exists()


def test_nothing_is_taken_over_before_it_is_chosen(hull: Hull) -> None:
    ask = an_asked_colour(hull)
    with pytest.raises(EngineError, match="Nothing was chosen"):
        take_colour(hull_id=hull.pk, ask=ask.pk, offer=GREEN, by=the_shop_owner(), at=timezone.now())


def test_a_letter_tells_that_the_colour_is_asked(hull: Hull) -> None:
    link_to(hull)
    an_asked_colour(hull)
    assert Message.objects.filter(kind=MessageKind.ACT).count() == 1
