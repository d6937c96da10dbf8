"""A bill: agreed, real and charged line by line. Sums by hand; half a coin goes to the even one (ASTM E29)."""

from decimal import Decimal
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from hulls.estimate import (
    Bill,
    BillBy,
    Charges,
    Currency,
    EstimateError,
    LineKind,
    Paper,
    Reason,
    Tax,
    Terms,
    Used,
    discount,
    hours_line,
    make_bill,
    material_line,
    reckon,
    subcontract,
)
from hulls.estimate.billed import plain_bill, read_bill
from tests.hulls.estimate.strategies import lines as any_lines
from tests.hulls.estimate.strategies import terms as any_terms

D = Decimal
EUR = Currency(code="EUR")
TERMS = Terms(currency=EUR, taxes=(Tax(name="VAT", rate_pct=D(20)),), deposit_pct=D(30))
CHARGES = Charges(rate=D(60), markup_pct=D(25))
RIBS = hours_line(EUR, words="Ribs", hours=D("6.5"), rate=D(60), key="ribs")
VARNISH = material_line(EUR, words="Varnish", amount=D(2), unit="L", cost=D(40), markup_pct=D(25), key="Varnish")
CANING = subcontract(EUR, words="Caning", price=D(120))
AGREED = Paper(label="E-1", lines=(RIBS, VARNISH, CANING))
MORE = Paper(label="C-1", lines=(hours_line(EUR, words="Work", hours=D(2), rate=D(60)),), stages=("ribs",))


def worked(hours: str, key: str = "ribs") -> Used:
    return Used(kind=LineKind.HOURS, key=key, words=key.capitalize(), amount=D(hours), unit="h")


def drawn(amount: str, cost: str | None, key: str = "Varnish") -> Used:
    told = None if cost is None else D(cost)
    return Used(kind=LineKind.MATERIAL, key=key, words=key, amount=D(amount), unit="L", cost=told)


def bill(*used: Used, papers: tuple[Paper, ...] = (AGREED,), by: str = "used", **more: Any) -> Bill:
    return make_bill(papers, used, by=BillBy(by), terms=TERMS, charges=more.get("charges", CHARGES))


def told(made: Bill) -> dict[str, tuple[Decimal, Decimal | None, Decimal, Reason]]:
    return {row.words: (row.agreed, row.real, row.billed, row.reason) for row in made.rows}


def test_as_agreed_the_record_stands_beside_and_changes_nothing() -> None:
    made = bill(worked("9"), drawn("1.5", "60"), by="agreed")
    assert told(made) == {
        "Ribs": (D(390), D(540), D(390), Reason.AS_AGREED),
        "Varnish": (D(100), D(75), D(100), Reason.AS_AGREED),
        "Caning": (D(120), None, D(120), Reason.AS_AGREED),
    }
    assert made.sums.total == D(732), "610 and a fifth"
    assert made.sums.deposit == 0, "it was asked for by the estimate"


def test_by_use_hours_and_materials_go_by_the_record_and_lump_sums_stay() -> None:
    made = bill(worked("5.5"), drawn("1.5", "60"))
    assert told(made) == {
        "Ribs": (D(390), D(330), D(330), Reason.AS_USED),
        "Varnish": (D(100), D(75), D(75), Reason.AS_USED),
        "Caning": (D(120), None, D(120), Reason.AS_AGREED),
    }
    assert made.sums.total == D(630)


def test_by_use_what_nothing_is_on_record_of_is_charged_as_agreed_and_says_so() -> None:
    assert {row.reason for row in bill().rows} == {Reason.UNTOLD, Reason.AS_AGREED}
    assert bill().sums.total == D(732)
    assert told(bill(drawn("1.5", None)))["Varnish"] == (D(100), None, D(100), Reason.UNTOLD)


def test_what_nobody_agreed_to_is_charged_by_use_alone() -> None:
    beside = (worked("1", "keel"), drawn("0.25", "9.98", "Glue"))
    assert {row.words: row.billed for row in bill(*beside, by="agreed").rows if not row.agreed} == {
        "Keel": 0,
        "Glue": 0,
    }
    assert told(bill(*beside, by="agreed"))["Keel"][-1] is Reason.NOT_AGREED
    # 9.98 and a quarter is 12.475: half a cent, to the even one
    assert {row.words: row.billed for row in bill(*beside).rows if not row.agreed} == {
        "Keel": D(60),
        "Glue": D("12.48"),
    }
    assert told(bill(drawn("0.25", None, "Glue")))["Glue"] == (D(0), None, D(0), Reason.NO_PRICE)


def test_the_hours_of_a_change_order_are_not_charged_twice() -> None:
    made = bill(worked("8"), papers=(AGREED, MORE))
    assert told(made)["Work"] == (D(120), None, D(0), Reason.IN_STEPS)
    assert told(made)["Ribs"][2] == D(480), "its two hours are among the eight"
    untold = bill(papers=(AGREED, MORE))
    assert told(untold)["Work"] == (D(120), None, D(120), Reason.AS_AGREED)


def test_a_step_that_was_agreed_twice_is_one_row_that_names_both() -> None:
    again = Paper(label="C-2", lines=(hours_line(EUR, words="Ribs", hours=D(1), rate=D(60), key="ribs"),))
    (ribs, *_rest) = bill(papers=(AGREED, again), by="agreed").rows
    assert (ribs.agreed_in, ribs.agreed_amount, ribs.billed) == (("E-1", "C-2"), D("7.5"), D(450))


def test_two_lump_sums_of_one_name_stay_two() -> None:
    twice = Paper(label="E-1", lines=(CANING, CANING))
    assert [row.billed for row in bill(papers=(twice,)).rows] == [D(120), D(120)]


def test_a_discount_comes_off_before_tax() -> None:
    less = Paper(label="E-1", lines=(CANING, discount(EUR, words="For a friend", price=D(20))))
    assert bill(papers=(less,)).sums.total == D(120)


def test_where_nothing_was_agreed_the_bill_goes_by_what_was_used() -> None:
    made = bill(worked("2"), papers=(), by="agreed")
    assert (made.by, made.sums.total) == (BillBy.USED, D(144))


def test_a_bill_of_nothing_is_refused() -> None:
    with pytest.raises(EstimateError, match="nothing to bill"):
        bill(papers=())


def test_hours_without_a_price_are_refused_before_anything_is_charged() -> None:
    with pytest.raises(EstimateError) as refused:
        bill(worked("2"), papers=(), charges=Charges(rate=D(0)))
    assert refused.value.field == "hourly_rate"


@pytest.mark.parametrize(("amount", "cost"), [("0", "1"), ("-1", "1"), ("1", "-1")])
def test_what_was_used_is_more_than_nothing(amount: str, cost: str) -> None:
    with pytest.raises(EstimateError):
        drawn(amount, cost)


def test_a_bill_is_read_back_as_it_was_issued_and_a_changed_one_is_not() -> None:
    made = bill(worked("5.5"), drawn("1.5", "60"), papers=(AGREED, MORE))
    held = plain_bill(made)
    assert read_bill(held).rows == made.rows
    assert read_bill(held) == made
    held["rows"][0]["charged"][0]["total"] = "1.00"
    with pytest.raises(EstimateError, match="add up"):
        read_bill(held)


@given(st.data())
def test_as_agreed_one_paper_comes_to_what_its_estimate_came_to(data: st.DataObject) -> None:
    terms = data.draw(any_terms())
    lines = data.draw(any_lines(terms.currency))
    made = make_bill([Paper(label="E-1", lines=tuple(lines))], [], by=BillBy.AGREED, terms=terms, charges=None)
    wanted = reckon(lines, terms)
    assert (made.sums.subtotal, made.sums.taxes, made.sums.total) == (wanted.subtotal, wanted.taxes, wanted.total)
    assert sum((row.billed for row in made.rows), D(0)) == made.sums.subtotal
