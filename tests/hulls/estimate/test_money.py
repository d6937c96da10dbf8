"""Money: rounding as published, and what is refused."""

from decimal import Decimal

import pytest

from hulls.estimate import Currency, EstimateError, Rounding

EUR = Currency(code="EUR")

# ASTM E29, rounding method: half goes to the even digit. Examples from memory of the practice, checked with Decimal.
E29 = [("2.5", 0, "2"), ("3.5", 0, "4"), ("105.5", 0, "106"), ("0.125", 2, "0.12"), ("0.135", 2, "0.14")]
CODES = {0: "JPY", 2: "EUR", 3: "KWD"}


@pytest.mark.parametrize(("amount", "places", "rounded"), E29)
def test_half_a_coin_goes_to_the_even_one(amount: str, places: int, rounded: str) -> None:
    assert str(Currency(code=CODES[places]).rounded(Decimal(amount))) == rounded


@pytest.mark.parametrize(("amount", "rounded"), [("0.125", "0.13"), ("0.135", "0.14"), ("0.124999", "0.12")])
def test_half_a_coin_goes_up_where_a_shop_must(amount: str, rounded: str) -> None:
    assert str(Currency(code="EUR", rounding=Rounding.HALF_UP).rounded(Decimal(amount))) == rounded


# ISO 4217, list one, column "minor unit", from memory.
@pytest.mark.parametrize(("code", "places"), [("EUR", 2), ("USD", 2), ("JPY", 0), ("KWD", 3), ("CLP", 0), ("GBP", 2)])
def test_a_currency_has_the_decimals_of_its_standard(code: str, places: int) -> None:
    assert Currency(code=code).places == places


@pytest.mark.parametrize("code", ["", "eur", "EU", "EURO", "E1R"])
def test_a_currency_is_three_capital_letters(code: str) -> None:
    with pytest.raises(EstimateError) as refused:
        Currency(code=code)
    assert refused.value.field == "currency"


@pytest.mark.parametrize("typed", ["-0.01", "12.345", "NaN", "Infinity", "100000000"])
def test_an_amount_that_nobody_can_pay_is_refused_by_its_field(typed: str) -> None:
    with pytest.raises(EstimateError) as refused:
        EUR.checked(Decimal(typed), "deposit")
    assert refused.value.field == "deposit"


@pytest.mark.parametrize(("typed", "held"), [("0", "0.00"), ("12.3", "12.30"), ("12.340", "12.34")])
def test_an_amount_in_coins_is_kept(typed: str, held: str) -> None:
    assert str(EUR.checked(Decimal(typed), "deposit")) == held
