"""What somebody typed for an estimate beside what is reckoned: kept with the draft, so that it can be reckoned anew."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from decimal import Decimal
from typing import Any


@dataclass(frozen=True, slots=True, kw_only=True)
class Asked:
    """What was typed.

    Parameters
    ----------
    hours : mapping of str to Decimal
        By stage, hours set by hand, h; 0 takes the line off.
    prices : mapping of str to Decimal
        By product, what a unit costs the shop where its packs have no price.
    lumps : tuple of (str, Decimal)
        Sub-contracts and other lump sums: what, and how much.
    discount : tuple of (str, Decimal) or None
        What is taken off, and why.
    words : str
        What the owner reads above the lines.
    """

    hours: Mapping[str, Decimal] = field(default_factory=dict)
    prices: Mapping[str, Decimal] = field(default_factory=dict)
    lumps: tuple[tuple[str, Decimal], ...] = ()
    discount: tuple[str, Decimal] | None = None
    words: str = ""

    def plain(self) -> dict[str, Any]:
        """As JSON values; numbers stay text."""
        return {
            "hours": {key: str(hours) for key, hours in self.hours.items()},
            "prices": {name: str(price) for name, price in self.prices.items()},
            "lumps": [[words, str(price)] for words, price in self.lumps],
            "discount": [self.discount[0], str(self.discount[1])] if self.discount else None,
            "words": self.words,
        }

    @classmethod
    def read(cls, held: Mapping[str, Any]) -> "Asked":
        """What `plain` wrote."""
        off = held.get("discount")
        return cls(
            hours={key: Decimal(hours) for key, hours in held.get("hours", {}).items()},
            prices={name: Decimal(price) for name, price in held.get("prices", {}).items()},
            lumps=tuple((words, Decimal(price)) for words, price in held.get("lumps", ())),
            discount=(off[0], Decimal(off[1])) if off else None,
            words=held.get("words", ""),
        )
