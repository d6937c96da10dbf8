"""Public holidays of a country and its part, by the library `holidays`."""

from collections.abc import Iterable, Mapping
from datetime import date
from functools import lru_cache

import holidays


def regions_of(country: str) -> tuple[str, ...] | None:
    """Codes of the parts of a country that have holidays of their own (ISO 3166-2); None for an unknown country."""
    known = _known().get(country)
    return None if known is None else tuple(known)


def public_holidays(country: str, region: str, years: Iterable[int]) -> Mapping[date, str]:
    """Name the public holidays of some years; none without a country.

    Parameters
    ----------
    country, region : str
        Codes by ISO 3166-1 and 3166-2; the region may be empty. One that the library knows no more counts as that.
    years : iterable of int
        Of which years.
    """
    regions = regions_of(country)
    return {} if regions is None else _found(country, region if region in regions else "", tuple(sorted(years)))


@lru_cache(maxsize=16)
def _found(country: str, region: str, years: tuple[int, ...]) -> dict[date, str]:
    return dict(holidays.country_holidays(country, subdiv=region or None, years=years))


@lru_cache(maxsize=1)
def _known() -> dict[str, list[str]]:
    return holidays.list_supported_countries(include_aliases=False)
