"""Stores: in stock, in date, enough; what is missing, and when what is on order should be here."""

from dataclasses import replace
from datetime import UTC, datetime, timedelta

import pytest

from stages.engine.findings import Finding
from stages.engine.rules import judge
from stages.engine.state import StageRecord
from stages.engine.stores import Can, Coming, Stock
from stages.engine.vocab import ProductKind, Severity, Surface
from stages.engine.work import Work
from tests.hulls.takeoff.materials import a_canoe
from tests.stages.engine.trade import NOW, a_stage, a_work, a_world, asking_to_coat, asking_to_start, product

TODAY = NOW.date()
PRIME = a_stage("prime", coats=2, product=ProductKind.PRIMER, surface=Surface.SKIN)
SIZES = replace(a_canoe(), outside_area_m2=4.5)
PRIMER_L = 4.5 / 10.0 / 0.9  # the usual primer: 10 m² a litre, of which a tenth is lost


def can(holds: float = 1.0, *, ends_in: int | None = None, opened: bool = False, number: int = 1) -> Can:
    ends = TODAY + timedelta(days=ends_in) if ends_in is not None else None
    return Can(id=number, holds=holds, good_until=ends, opened=opened)


def work_with(*cans: Can, coming: tuple[Coming, ...] = (), coats_on: int = 0, kind: str = "primer") -> Work:
    world = replace(a_world(), stores={product(kind).id: Stock(cans=cans, coming=coming)})
    records = {"prime": StageRecord(started_at=NOW, coats_on=coats_on)}
    return replace(a_work(world=world, records=records), sizes=SIZES)


def found(work: Work, kind: str = "primer") -> Finding | None:
    return next((f for f in judge(work, asking_to_coat(kind, of=PRIME)) if f.rule == "stores"), None)


def on_starting(work: Work) -> Finding | None:
    return next((f for f in judge(work, asking_to_start(PRIME)) if f.rule == "stores"), None)


@pytest.mark.parametrize(("share", "refused"), [(0.99, True), (1.0, False), (1.01, False)])
def test_what_is_there_must_do_for_the_coat(share: float, refused: bool) -> None:
    finding = found(work_with(can(PRIMER_L * share)))
    assert (finding is not None) is refused
    assert finding is None or finding.refuses


def test_it_says_which_and_how_much_is_there_and_how_much_it_takes() -> None:
    finding = found(work_with(can(0.2)))
    assert finding is not None
    assert str(finding.words) == "The stores hold 0.2 L of High-build primer, alkyd in date, and this takes 0.5 L."


@pytest.mark.parametrize(("ends_in", "refused"), [(-1, True), (0, False), (1, False), (None, False)])
def test_it_must_be_in_date(ends_in: int | None, refused: bool) -> None:
    finding = found(work_with(can(ends_in=ends_in)))
    assert (finding is not None) is refused
    assert finding is None or "went out of date" in str(finding.words)


def test_two_cans_do_together_what_one_does_not() -> None:
    assert found(work_with(can(PRIMER_L / 2), can(PRIMER_L / 2, number=2))) is None
    assert found(work_with(can(PRIMER_L / 2), can(PRIMER_L / 2, number=2, ends_in=-1))) is not None


def test_what_is_on_order_clears_it_at_noon_of_its_day() -> None:
    here = TODAY + timedelta(days=3)
    finding = found(work_with(coming=(Coming(amount=1.0, on=here),)))
    assert finding is not None
    assert finding.earliest == datetime.combine(here, datetime.min.time(), UTC) + timedelta(hours=12)
    assert str(finding.words) == "The stores hold no High-build primer, alkyd."


def test_an_order_that_is_too_small_clears_nothing() -> None:
    finding = found(work_with(coming=(Coming(amount=0.1, on=TODAY + timedelta(days=3)),)))
    assert finding is not None
    assert finding.earliest is None
    assert "Order some" in str(finding.clears)


def test_an_order_that_is_late_promises_no_day() -> None:
    finding = found(work_with(coming=(Coming(amount=1.0, on=TODAY - timedelta(days=1)),)))
    assert finding is not None
    assert finding.earliest is None
    assert "should have been here" in str(finding.clears)


def test_whoever_starts_is_told_when_it_will_not_last_for_all_coats() -> None:
    assert on_starting(work_with(can(2.01 * PRIMER_L))) is None
    short = on_starting(work_with(can(1.5 * PRIMER_L)))
    assert short is not None
    assert short.severity is Severity.WARNS
    none = on_starting(work_with(can(0.5 * PRIMER_L)))
    assert none is not None
    assert none.refuses


def test_a_step_without_coats_asks_nothing_of_the_stores() -> None:
    work = work_with()
    assert not [f for f in judge(work, asking_to_start(a_stage("ribs"))) if f.rule == "stores"]


def test_a_shop_without_stores_hears_nothing_and_one_with_some_is_told_what_they_do_not_count() -> None:
    bare = replace(a_work(), sizes=SIZES)
    assert found(bare) is None
    warned = found(work_with(can()), "enamel")
    assert warned is not None
    assert warned.severity is Severity.WARNS


def test_what_has_settled_is_shaken_first() -> None:
    settled = replace(can(), settles_on=TODAY)
    cautioned = found(work_with(settled))
    assert cautioned is not None
    assert cautioned.severity is Severity.CAUTIONS
    assert found(work_with(replace(can(), settles_on=TODAY + timedelta(days=1)))) is None


def test_hands_empty_what_is_open_then_take_what_goes_out_of_date_first() -> None:
    stock = Stock(cans=(can(number=1), can(number=2, ends_in=9), can(number=3, ends_in=5), can(number=4, opened=True)))
    assert [can.id for can in stock.pouring(TODAY)] == [4, 3, 2, 1]


def test_a_label_that_does_not_say_how_far_it_goes_asks_only_that_there_is_some() -> None:
    silent = replace(product("primer"), material=None)
    work = work_with(can(0.01))
    ask = replace(asking_to_coat("primer", of=PRIME), product=silent)
    assert not [f for f in judge(work, ask) if f.rule == "stores"]
    empty = [f for f in judge(work_with(), ask) if f.rule == "stores"]
    assert [f.refuses for f in empty] == [True]
