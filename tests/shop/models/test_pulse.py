"""The stamps: each write leaves new ones; a long transaction keeps them in hand and writes them down at its end."""

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from shop.models import Pulse
from shop.models.pulse import bumped

pytestmark = pytest.mark.django_db
STAMPS = ("beat", "setup", "air", "stores")


def stamps(pulse: Pulse) -> dict[str, str]:
    return {name: getattr(pulse, name) for name in STAMPS}


def changed(before: Pulse, after: Pulse) -> set[str]:
    return {name for name in STAMPS if getattr(before, name) != getattr(after, name)}


def in_the_table() -> Pulse:
    return Pulse.objects.get(pk=1)


@pytest.mark.parametrize("name", ["setup", "air", "stores"])
def test_a_write_leaves_a_new_beat_and_the_stamp_that_it_names(name: str) -> None:
    Pulse.bump()
    before = Pulse.now()
    Pulse.bump(**{name: True})
    assert changed(before, Pulse.now()) == {"beat", name}


def test_the_first_write_makes_the_row_and_every_later_one_touches_it_once() -> None:
    assert Pulse.now().pk is None
    Pulse.bump(setup=True)
    with CaptureQueriesContext(connection) as asked:
        Pulse.bump()
    assert sum("shop_pulse" in query["sql"] for query in asked) == 1
    assert Pulse.now().pk == 1


def test_stamps_that_are_held_change_in_hand_and_reach_the_table_once_at_the_end() -> None:
    Pulse.bump()
    before = in_the_table()
    with Pulse.held():
        with CaptureQueriesContext(connection) as asked:
            Pulse.bump(stores=True)
            first = Pulse.now()
            Pulse.bump(air=True)
            second = Pulse.now()
        assert len(asked) == 0
        assert changed(before, first) == {"beat", "stores"}
        assert changed(first, second) == {"beat", "air"}
        assert stamps(in_the_table()) == stamps(before)
    assert stamps(in_the_table()) == stamps(second) == stamps(Pulse.now())


def test_turns_of_the_air_go_on_counting_while_stamps_are_held() -> None:
    before = Pulse.take_air_turn()
    with Pulse.held():
        turns = [Pulse.take_air_turn() for _ in range(2)]
    assert [*turns, Pulse.take_air_turn()] == [before + 1, before + 2, before + 3]


def test_held_stamps_of_a_transaction_that_fails_are_let_go() -> None:
    Pulse.bump()
    before = in_the_table()

    def fail() -> None:
        with Pulse.held():
            Pulse.bump(setup=True)
            raise ArithmeticError

    with pytest.raises(ArithmeticError):
        fail()
    assert stamps(Pulse.now()) == stamps(in_the_table()) == stamps(before)


def test_each_write_is_told_of_and_held_ones_once_at_the_end() -> None:
    told: list[str] = []

    def hear(**kwargs: object) -> None:
        told.append(Pulse.now().beat)

    bumped.connect(hear)
    try:
        Pulse.bump()
        Pulse.bump()
        assert len(told) == 2
        with Pulse.held():
            Pulse.bump()
            Pulse.bump()
            assert len(told) == 2
            last = Pulse.now().beat
        assert told[2:] == [last]
    finally:
        bumped.disconnect(hear)
