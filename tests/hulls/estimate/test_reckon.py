"""An estimate adds up to the coin, and says what it does not take."""

from collections.abc import Callable
from dataclasses import replace
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from hulls.estimate import (
    Because,
    Currency,
    EstimateError,
    Line,
    LineKind,
    Tax,
    Terms,
    digest,
    discount,
    hours_line,
    material_line,
    plain,
    read,
    reckon,
    subcontract,
)
from tests.hulls.estimate.strategies import lines, terms

EUR = Currency(code="EUR")
D = Decimal


def ribs(hours: str = "7.5", rate: str = "62.00", spread: float = 0.0) -> Line:
    return hours_line(EUR, words="Ribs", hours=D(hours), rate=D(rate), spread=spread)


def test_an_estimate_by_hand() -> None:
    """Worked by hand: 465.00 + 3.2 L at 18.90 + 25 % = 75.60, + 120.00 - 60.60 = 600.00; tax 20 % on all of it."""
    paint = material_line(EUR, words="Enamel", amount=D("3.2"), unit="L", cost=D("18.90"), markup_pct=D(25))
    cane = subcontract(EUR, words="Caning", price=D("120"))
    off = discount(EUR, words="For waiting", price=D("60.60"))
    made = reckon([ribs(), paint, cane, off], Terms(currency=EUR, taxes=(vat("20"),), deposit_pct=D(30)))
    assert [str(line.total) for line in made.lines] == ["465.00", "75.60", "120.00", "-60.60"]
    assert (str(made.subtotal), str(made.total), str(made.deposit)) == ("600.00", "720.00", "216.00")
    assert (made.low, made.high) == (made.total, made.total), "nothing in it is uncertain"


def vat(rate: str, *on: LineKind) -> Tax:
    return Tax(name="VAT", rate_pct=D(rate), on=frozenset(on)) if on else Tax(name="VAT", rate_pct=D(rate))


def test_a_tax_is_rounded_once_on_the_sum_of_its_lines() -> None:
    """EN 16931-1, BR-CO-17 (from memory): three lines of 0.10 at 5 % are taxed 0.015 -> 0.02, not three times 0.00."""
    dimes = [subcontract(EUR, words="Screw", price=D("0.10"))] * 3
    assert reckon(dimes, Terms(currency=EUR, taxes=(vat("5"),))).taxes[0].amount == D("0.02")


def test_a_tax_on_materials_leaves_hours_alone_and_a_discount_lowers_its_base_by_its_share() -> None:
    stuff = material_line(EUR, words="Canvas", amount=D(1), unit="pc", cost=D(100))
    work = ribs("1", "100")
    off = discount(EUR, words="Tenth off", price=D("20"))
    made = reckon([stuff, work, off], Terms(currency=EUR, taxes=(vat("10", LineKind.MATERIAL),)))
    assert (made.taxes[0].base, made.taxes[0].amount) == (D("90.00"), D("9.00"))


@given(st.data())
def test_lines_taxes_and_total_add_up_exactly_and_survive_being_frozen(data: st.DataObject) -> None:
    asked = data.draw(terms())
    made = reckon(data.draw(lines(asked.currency)), asked)
    assert made.total == sum((line.total for line in made.lines), D(0)) + sum(tax.amount for tax in made.taxes)
    assert all(amount == made.currency.rounded(amount) for amount in (made.total, made.deposit, made.low, made.high))
    assert read(plain(made)) == made
    assert digest(plain(read(plain(made)))) == digest(plain(made))


@given(st.data())
def test_the_order_of_the_lines_is_no_matter(data: st.DataObject) -> None:
    asked = data.draw(terms())
    found = data.draw(lines(asked.currency))
    made, turned = reckon(found, asked), reckon(data.draw(st.permutations(found)), asked)
    assert (made.total, made.taxes, made.deposit) == (turned.total, turned.taxes, turned.deposit)


@given(st.data())
def test_the_total_lies_within_its_likely_range(data: st.DataObject) -> None:
    asked = data.draw(terms())
    made = reckon(data.draw(lines(asked.currency)), asked)
    assert made.low <= made.total <= made.high


def test_a_changed_line_no_longer_adds_up() -> None:
    held = plain(reckon([ribs()], Terms(currency=EUR)))
    held["lines"][0]["total"] = "465.01"
    with pytest.raises(EstimateError):
        read(held)


def test_any_change_shows_in_the_digest() -> None:
    held = plain(reckon([replace(ribs(), because=(Because(what="broken ribs", value="5"),))], Terms(currency=EUR)))
    before = digest(held)
    held["lines"][0]["because"][0][1] = "6"
    assert digest(held) != before


REFUSED: dict[str, tuple[str, Callable[[], object]]] = {
    "a rate of 0": ("hourly_rate", lambda: ribs(rate="0")),
    "a negative rate": ("hourly_rate", lambda: ribs(rate="-1")),
    "a part of a cent": ("hourly_rate", lambda: ribs(rate="61.999")),
    "negative hours": ("amount", lambda: ribs(hours="-1")),
    "endless hours": ("amount", lambda: ribs(hours="Infinity")),
    "a tax of 900 %": ("rate_pct", lambda: vat("900")),
    "a tax just over all": ("rate_pct", lambda: vat("100.0001")),
    "a tax below nothing": ("rate_pct", lambda: vat("-0.1")),
    "a tax too fine": ("rate_pct", lambda: vat("5.00001")),
    "a tax on discounts": ("on", lambda: vat("5", LineKind.DISCOUNT)),
    "a nameless tax": ("name", lambda: Tax(name=" ", rate_pct=D(5))),
    "one tax twice": ("name", lambda: Terms(currency=EUR, taxes=(vat("5"), vat("6")))),
    "a deposit over all": ("deposit_pct", lambda: Terms(currency=EUR, deposit_pct=D("100.1"))),
    "no line": ("lines", lambda: reckon([], Terms(currency=EUR))),
    "a negative price": ("price", lambda: subcontract(EUR, words="Caning", price=D(-5))),
    "a nameless line": ("words", lambda: subcontract(EUR, words=" ", price=D(5))),
    "a negative cost": (
        "cost",
        lambda: material_line(EUR, words="Oil", amount=D(1), unit="L", cost=D(-1)),
    ),
    "a mark-up of 900 %": (
        "markup_pct",
        lambda: material_line(EUR, words="Oil", amount=D(1), unit="L", cost=D(1), markup_pct=D(900)),
    ),
    "more off than on": (
        "discount",
        lambda: reckon([ribs("1", "10"), discount(EUR, words="Off", price=D("10.01"))], Terms(currency=EUR)),
    ),
}


@pytest.mark.parametrize("what", REFUSED)
def test_what_no_estimate_can_hold_is_refused_by_its_field(what: str) -> None:
    field, make = REFUSED[what]
    with pytest.raises(EstimateError) as refused:
        make()
    assert refused.value.field == field


@pytest.mark.parametrize("rate", ["0", "100"])
def test_a_tax_at_the_end_of_its_range_is_taken(rate: str) -> None:
    assert vat(rate).rate_pct == D(rate)


def test_a_discount_of_all_of_it_leaves_nothing_to_pay() -> None:
    made = reckon([ribs("1", "10"), discount(EUR, words="A gift", price=D("10"))], Terms(currency=EUR))
    assert made.total == 0
