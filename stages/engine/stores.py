"""What the stores hold of one product: its cans in the order in which hands take them, and what is on its way."""

from dataclasses import dataclass
from datetime import date


@dataclass(frozen=True, slots=True, kw_only=True)
class Can:
    """One can or roll on the shelf.

    Parameters
    ----------
    id : int
        Its number in the stores.
    holds : float
        What is left in it, in the product's unit.
    label : str
        Lot number of its label, or empty.
    good_until : date or None
        Last day on which it is in date; None where nobody said.
    opened : bool
        Somebody has opened it.
    settles_on : date or None
        Day from which it is shaken or stirred before anybody pours from it; None for what does not settle.
    """

    id: int
    holds: float
    label: str = ""
    good_until: date | None = None
    opened: bool = False
    settles_on: date | None = None

    def in_date(self, day: date) -> bool:
        """Whether it may be used on a day."""
        return self.good_until is None or day <= self.good_until

    def settled(self, day: date) -> bool:
        """Whether it stood so long that it is shaken or stirred first."""
        return self.settles_on is not None and day >= self.settles_on


@dataclass(frozen=True, slots=True, kw_only=True)
class Coming:
    """What is on order: how much, in the product's unit, and the day on which it should be here."""

    amount: float
    on: date


@dataclass(frozen=True, slots=True, kw_only=True)
class Stock:
    """What the stores hold of a product and what is on order, the soonest first."""

    cans: tuple[Can, ...] = ()
    coming: tuple[Coming, ...] = ()

    def pouring(self, day: date) -> tuple[Can, ...]:
        """Cans in date that hold something: what is open first, then what goes out of date first."""
        good = [can for can in self.cans if can.holds > 0 and can.in_date(day)]
        return tuple(sorted(good, key=lambda can: (not can.opened, can.good_until or date.max, can.id)))

    def in_date(self, day: date) -> float:
        """What may be used on a day, in the product's unit."""
        return sum(can.holds for can in self.pouring(day))

    def past(self, day: date) -> date | None:
        """The last day of what went out of date, the latest; None where nothing did."""
        ends = [can.good_until for can in self.cans if can.holds > 0 and can.good_until and not can.in_date(day)]
        return max(ends, default=None)

    def there_by(self, need: float, day: date) -> date | None:
        """The day on which what is there and what is on order come to a need; None where they do not."""
        held = self.in_date(day)
        for coming in self.coming:
            held += coming.amount
            if held >= need and held > 0:
                return coming.on
        return None
