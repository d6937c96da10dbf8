"""Lines and terms of any estimate."""

from decimal import Decimal

from hypothesis import strategies as st

from hulls.estimate import Currency, Line, LineKind, Rounding, Tax, Terms, discount, hours_line, material_line
from hulls.estimate import subcontract as lump

currencies = st.builds(Currency, code=st.sampled_from(["EUR", "JPY", "KWD"]), rounding=st.sampled_from(Rounding))
charged = [LineKind.HOURS, LineKind.MATERIAL, LineKind.SUBCONTRACT]
rates = st.decimals(0, 100, places=3)


@st.composite
def lines(draw: st.DrawFn, currency: Currency) -> list[Line]:
    """Lines that charge, and now and then a discount of no more than a tenth of them."""

    def money(most: int) -> Decimal:
        return draw(st.decimals(currency.coin, most, places=currency.places))

    amounts, spreads = st.decimals(0, 200, places=3), st.floats(0, 0.6)
    found = [
        hours_line(currency, words="Ribs", hours=draw(amounts), rate=money(200), spread=draw(spreads))
        for _ in range(draw(st.integers(0, 4)))
    ]
    found += [
        material_line(
            currency,
            words="Varnish",
            amount=draw(amounts),
            unit="L",
            cost=money(90),
            markup_pct=draw(rates),
            spread=draw(spreads),
        )
        for _ in range(draw(st.integers(0, 4)))
    ]
    found.append(lump(currency, words="Caning", price=money(900)))
    if draw(st.booleans()):
        most = sum((line.total for line in found), Decimal(0)) / 10
        found.append(discount(currency, words="For a friend", price=currency.rounded(most)))
    return found


@st.composite
def terms(draw: st.DrawFn) -> Terms:
    """Up to three taxes and a deposit."""
    names = ["VAT", "Sales tax", "City"][: draw(st.integers(0, 3))]
    taxes = tuple(
        Tax(name=name, rate_pct=draw(rates), on=frozenset(draw(st.sets(st.sampled_from(charged), min_size=1))))
        for name in names
    )
    return Terms(currency=draw(currencies), taxes=taxes, deposit_pct=draw(rates))
