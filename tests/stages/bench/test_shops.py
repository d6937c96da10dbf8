"""The invented shops: the same for the same seed, of the size asked for, and nothing in them that cannot be."""

import pytest

from stages.bench.shops import SIZES, invented_shop, size_of
from stages.planner.timegrid import LONGEST_SITTING


@pytest.mark.parametrize("boats", [10, 25, 60, 200])
def test_a_shop_has_the_boats_hands_and_places_asked_for(boats: int) -> None:
    shop = invented_shop(boats, 1)
    assert len(shop.jobs) == boats
    assert len(shop.people) == SIZES[boats].people
    assert {resource.key: resource.capacity for resource in shop.resources} == SIZES[boats].places
    assert max(length for step in shop.steps for length in step.sittings) <= LONGEST_SITTING


def test_the_same_seed_makes_the_same_shop_and_another_makes_another() -> None:
    assert invented_shop(10, 3) == invented_shop(10, 3)
    assert invented_shop(10, 3) != invented_shop(10, 4)


def test_a_number_between_gets_the_shop_of_the_next_size() -> None:
    assert size_of(10) is SIZES[10]
    assert size_of(11) is SIZES[25]


@pytest.mark.parametrize("seed", range(1, 6))
def test_what_is_under_way_finds_hands_and_places(seed: int) -> None:
    shop = invented_shop(60, seed)
    under_way = [step for step in shop.steps if step.begun or step.since is not None]
    sitting = [begun.person for step in under_way for begun in step.begun]
    assert under_way
    assert len(sitting) == len(set(sitting))
    for resource in shop.resources:
        taken = [use for step in under_way for use in step.uses if use.resource == resource.key]
        assert len(taken) <= resource.capacity
