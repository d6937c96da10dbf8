"""What of the planned needs cans and orders cover; checked against sums done by hand."""

from datetime import date, timedelta

from hypothesis import given
from hypothesis import strategies as st

from stages.engine.stores import Can, Coming, Stock
from stages.queries.covered import cover
from stages.queries.planned import PlannedNeed

TODAY = date(2026, 5, 4)


def day(number: int) -> date:
    return TODAY + timedelta(days=number)


def need(amount: float, on: int, tag: str = "H-1") -> PlannedNeed:
    return PlannedNeed(product=1, amount=amount, on=day(on), tag=tag, step="Enamel")


def can(holds: float, until: int | None = None, number: int = 1) -> Can:
    return Can(id=number, holds=holds, good_until=None if until is None else day(until))


def missing(*needs: PlannedNeed, stock: Stock | None) -> float:
    short = cover(needs, stock, TODAY).short
    return short.missing if short else 0.0


def test_a_can_that_is_in_date_today_but_not_on_the_day_covers_nothing() -> None:
    stock = Stock(cans=(can(5.0, until=9),))
    assert missing(need(2.0, on=9), stock=stock) == 0
    assert missing(need(2.0, on=10), stock=stock) == 2.0


def test_what_goes_out_of_date_first_is_used_first() -> None:
    stock = Stock(cans=(can(2.0, number=1), can(2.0, until=5, number=2)))
    assert missing(need(2.0, on=3), need(2.0, on=20), stock=stock) == 0


def test_without_stores_everything_is_missing_from_its_first_day() -> None:
    found = cover([need(1.0, on=2), need(0.5, on=9, tag="H-2")], None, TODAY).short
    assert found is not None
    assert (found.missing, found.tags(day(3))) == (1.5, ("H-2",))


def test_an_order_covers_its_need_and_is_late_where_it_comes_after_it_or_should_have_come() -> None:
    for expected, late in ((-1, True), (0, False), (6, False), (7, True)):
        coming = Coming(amount=3.0, on=day(expected))
        found = cover([need(2.0, on=6)], Stock(coming=(coming,)), TODAY)
        assert found.short is None
        assert [(of.coming, len(of.needs)) for of in found.late] == ([(coming, 1)] if late else [])


def test_an_order_that_no_need_waits_for_is_not_late() -> None:
    stock = Stock(cans=(can(2.0),), coming=(Coming(amount=3.0, on=day(30)),))
    assert cover([need(2.0, on=6)], stock, TODAY).late == ()


@given(
    amounts=st.lists(st.tuples(st.floats(0.01, 5.0), st.integers(0, 60)), max_size=6),
    cans=st.lists(st.tuples(st.floats(0.01, 5.0), st.none() | st.integers(-5, 60)), max_size=6),
)
def test_what_is_missing_lies_between_the_sums(
    amounts: list[tuple[float, int]], cans: list[tuple[float, int | None]]
) -> None:
    needs = sorted((need(amount, on) for amount, on in amounts), key=lambda planned: planned.on)
    stock = Stock(cans=tuple(can(holds, until, number) for number, (holds, until) in enumerate(cans)))
    wanted, held = sum(planned.amount for planned in needs), stock.in_date(TODAY)
    lasting = sum(holds for holds, until in cans if until is None)
    assert max(0.0, wanted - held) - 0.01 <= missing(*needs, stock=stock) <= max(0.0, wanted - lasting) + 0.01
