"""Packs against an enumeration of every set of them, and against an integer programme of OR-Tools' CP-SAT."""

from collections.abc import Sequence
from decimal import Decimal
from fractions import Fraction
from itertools import product
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from ortools.sat.python import cp_model

from hulls.takeoff import Material, Need, Opened, Pack, PackChoice, TakeOffError, choose_packs, cover
from tests.hulls.takeoff.materials import a_pack

amounts = st.integers(1, 40).map(lambda n: n / 4)
prices = st.integers(1, 2000).map(lambda n: str(Decimal(n) / 100))
priced_packs = st.lists(st.builds(a_pack, amounts, prices), min_size=1, max_size=3, unique_by=lambda p: p.amount)
unpriced_packs = st.lists(st.builds(a_pack, amounts), min_size=1, max_size=3, unique_by=lambda p: p.amount)
some_packs = priced_packs | unpriced_packs
needs_of_days = st.lists(st.tuples(st.integers(0, 12), amounts), min_size=1, max_size=5)

Worth = tuple[Fraction, Fraction, int]


def a_product(packs: Sequence[Pack], **more: Any) -> Material:
    return Material(name="varnish", kind="varnish", packs=tuple(packs), **more)


def some_needs(by_day: Sequence[tuple[int, float]]) -> list[Need]:
    return [Need(product="varnish", amount=amount, day=day) for day, amount in by_day]


def worth(counts: Sequence[tuple[Pack, int]]) -> Worth:
    """Cost, amount and packs of a choice; without a price a pack costs what it holds."""
    cost = sum((n * Fraction(p.amount if p.price is None else p.price) for p, n in counts), Fraction(0))
    return cost, sum((n * Fraction(p.amount) for p, n in counts), Fraction(0)), sum(n for _p, n in counts)


def worth_of(choice: PackChoice) -> Worth:
    return worth([(found.pack, found.count) for found in choice.counts])


def best_by_hand(amount: float, packs: Sequence[Pack]) -> Worth:
    """Try every set of packs that has none too many."""
    most = [int(-(-Fraction(amount) // Fraction(pack.amount))) for pack in packs]
    sets = product(*(range(n + 1) for n in most))
    enough = (
        list(zip(packs, counts, strict=True))
        for counts in sets
        if sum(n * Fraction(p.amount) for p, n in zip(packs, counts, strict=True)) >= Fraction(amount)
    )
    return min(worth(found) for found in enough)


def least_cost_by_solver(by_day: Sequence[tuple[int, float]], packs: Sequence[Pack], lasts: int | None) -> int:
    """Let CP-SAT choose packs for each day and say which litre of which day comes out of which: cents at least."""
    model = cp_model.CpModel()
    days = sorted({day for day, _amount in by_day})
    need = {day: sum(int(amount * 4) for at, amount in by_day if at == day) for day in days}
    counts = {(day, pack): model.new_int_var(0, sum(need.values()), "") for day in days for pack in packs}
    flows = {
        (opened, day): model.new_int_var(0, need[day], "")
        for opened in days
        for day in days
        if opened <= day and (lasts is None or day <= opened + lasts)
    }
    for day in days:
        model.add(sum(flow for (_opened, at), flow in flows.items() if at == day) >= need[day])
        held = sum(counts[day, pack] * int(pack.amount * 4) for pack in packs)
        model.add(sum(flow for (opened, _at), flow in flows.items() if opened == day) <= held)
    model.minimize(sum(n * int((pack.price or Decimal(0)) * 100) for (_day, pack), n in counts.items()))
    solver = cp_model.CpSolver()
    solver.parameters.num_workers = 1
    assert solver.solve(model) == cp_model.OPTIMAL
    return int(solver.objective_value)


@given(amount=amounts, packs=some_packs)
def test_packs_for_one_amount_are_as_good_as_the_best_of_all_sets(amount: float, packs: list[Pack]) -> None:
    best = best_by_hand(amount, packs)
    assert worth([(found.pack, found.count) for found in cover(amount, tuple(packs))]) == best
    assert worth_of(choose_packs(some_needs([(0, amount)]), [a_product(packs)])) == best


@settings(deadline=None, max_examples=60)
@given(by_day=needs_of_days, packs=priced_packs, lasts=st.none() | st.integers(1, 12))
def test_packs_over_days_cost_what_an_integer_programme_finds(
    by_day: list[tuple[int, float]], packs: list[Pack], lasts: int | None
) -> None:
    found = choose_packs(some_needs(by_day), [a_product(packs, keeps_open_days=lasts)])
    assert found.status == "optimal"
    assert found.cost is not None
    assert found.cost * 100 == least_cost_by_solver(by_day, packs, lasts)


@given(by_day=needs_of_days, packs=some_packs, lasts=st.none() | st.integers(1, 12))
def test_packs_that_are_there_in_time_cover_every_day(
    by_day: list[tuple[int, float]], packs: list[Pack], lasts: int | None
) -> None:
    found = choose_packs(some_needs(by_day), [a_product(packs, keeps_open_days=lasts)])
    cans = [[bought.day, bought.pack.amount] for bought in found.counts for _ in range(bought.count)]
    for day, amount in sorted(by_day):
        left = amount
        for can in cans:
            if can[0] <= day and (lasts is None or day <= can[0] + lasts):
                poured = min(can[1], left)
                can[1] -= poured
                left -= poured
        assert left == pytest.approx(0.0)


WEEK = 7


@pytest.mark.parametrize(("keeps_weeks", "cans"), [(38, 2), (39, 1), (None, 1), (26, 2)])
def test_a_can_of_the_first_week_serves_the_fortieth_only_if_it_keeps_so_long(
    keeps_weeks: int | None, cans: int
) -> None:
    keeps = None if keeps_weeks is None else keeps_weeks * WEEK
    product = a_product([a_pack(1.0, "20")], keeps_days=keeps)
    found = choose_packs(some_needs([(1 * WEEK, 0.5), (40 * WEEK, 0.5)]), [product])
    assert sum(bought.count for bought in found.counts) == cans


def test_an_opened_can_goes_off_before_an_unopened_one() -> None:
    product = a_product([a_pack(1.0, "20")], keeps_days=400, keeps_open_days=30)
    assert len(choose_packs(some_needs([(0, 0.5), (30, 0.5)]), [product]).counts) == 1
    assert len(choose_packs(some_needs([(0, 0.5), (31, 0.5)]), [product]).counts) == 2


def test_boats_share_a_can_where_each_alone_would_need_its_own() -> None:
    found = choose_packs(some_needs([(0, 0.4), (3, 0.6)]), [a_product([a_pack(1.0, "20")])])
    assert [(bought.count, bought.day) for bought in found.counts] == [(1, 0)]


def test_what_is_open_in_the_stores_is_used_first_and_not_beyond_its_last_day() -> None:
    product, needs = a_product([a_pack(1.0, "20")]), some_needs([(2, 1.0)])
    assert not choose_packs(needs, [product], [Opened(product="varnish", amount=1.0, good_until=2)]).counts
    assert choose_packs(needs, [product], [Opened(product="varnish", amount=1.0, good_until=1)]).counts
    half = choose_packs(some_needs([(2, 1.25)]), [product], [Opened(product="varnish", amount=0.5)])
    assert sum(bought.count for bought in half.counts) == 1


def test_needs_beyond_the_horizon_are_not_bought_for() -> None:
    needs = some_needs([(3, 1.0), (90, 1.0)])
    assert len(choose_packs(needs, [a_product([a_pack(1.0)])], horizon=30).counts) == 1


def test_a_product_without_packs_is_named_and_the_others_are_chosen_all_the_same() -> None:
    bare = Material(name="oil", kind="oil")
    needs = [*some_needs([(0, 1.0)]), Need(product="oil", amount=1.0)]
    found = choose_packs(needs, [a_product([a_pack(1.0, "20")]), bare])
    assert (found.status, found.missing, found.cost) == ("impossible", ("oil",), Decimal(20))


def test_pieces_are_cut_out_of_lengths_that_hold_them() -> None:
    stock = Material(name="ash", kind="timber", unit="m", packs=(a_pack(2.5), a_pack(6.0)))
    found = choose_packs([Need(product="ash", amount=6.0, piece=2.0)], [stock])
    # Three pieces: one 6 m length, where 2.5 m lengths would leave more over.
    assert [(bought.pack.amount, bought.count) for bought in found.counts] == [(6.0, 1)]


def test_packs_without_a_price_are_passed_over_where_another_has_one() -> None:
    found = cover(1.0, (a_pack(1.0), a_pack(2.0, "30")))
    assert [(count.pack.amount, count.count) for count in found] == [(2.0, 1)]


def test_a_large_amount_that_no_set_of_packs_meets_exactly_is_covered_by_the_next_that_one_does() -> None:
    packs = tuple(a_pack(amount) for amount in (0.2, 0.4, 0.6, 0.8, 1.0, 1.2, 2.4, 3.6))
    found = cover(499.777, packs)
    # Every set of them holds a multiple of 0.2: 499.8 is the least; 138 of 3.6 are 496.8, and 2.4 and 0.6 are left.
    assert worth([(count.pack, count.count) for count in found])[1] == pytest.approx(499.8)
    assert sum(count.count for count in found) == 140
    # 177, 577 or 977 of 0.401 end in 777 thousandths, since 400 of them are 401 of 0.4: the most of them are fewest.
    near = {count.pack.amount: count.count for count in cover(499.777, (a_pack(0.401), a_pack(0.4)))}
    assert near == {0.401: 977, 0.4: 270}


def test_prices_count_to_their_last_decimal() -> None:
    cheap, dear = a_pack(1.0, "10.0001"), a_pack(1.0, "10.0002")
    assert [count.pack for count in cover(1.0, (dear, cheap))] == [cheap]


@pytest.mark.parametrize(
    ("field", "make"),
    [
        ("amount", lambda: a_pack(0)),
        ("amount", lambda: a_pack(float("nan"))),
        ("amount", lambda: a_pack(-1)),
        ("price", lambda: a_pack(1, "0")),
        ("price", lambda: a_pack(1, "-2")),
        ("price", lambda: a_pack(1, "NaN")),
        ("roll_width_in", lambda: a_pack(1, roll_width_in=0.0)),
        ("amount", lambda: Need(product="varnish", amount=0.0)),
        ("day", lambda: Need(product="varnish", amount=1.0, day=-1)),
        ("amount", lambda: Opened(product="varnish", amount=0.0)),
        ("product", lambda: choose_packs(some_needs([(0, 1.0)]), [])),
        ("amount", lambda: choose_packs(some_needs([(0, 1e7)]), [a_product([a_pack(0.25)])])),
        ("amount", lambda: cover(1.0, (a_pack(0.0001),))),
        ("amount", lambda: cover(1e9, (a_pack(0.25),))),
    ],
)
def test_what_cannot_be_is_refused_with_its_field(field: str, make: Any) -> None:
    with pytest.raises(TakeOffError) as refused:
        make()
    assert refused.value.field == field
    assert refused.value.message.endswith(".")


def test_nothing_needed_buys_nothing() -> None:
    assert cover(0.0, (a_pack(1.0),)) == ()
    assert choose_packs([], [a_product([a_pack(1.0, "2")])]) == PackChoice(status="optimal", counts=(), cost=Decimal(0))
