"""An estimate reckoned from survey, plan of work, the shop's own hours, the take-off and what was typed."""

from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal

from django.utils import translation

from hulls.charging import terms_of
from hulls.estimate import Estimate, Line, Terms, discount, reckon, subcontract
from hulls.models import Hull
from shop.models import Shop
from shop.units import UnitSystem
from stages.engine.log import EntryKind, in_force
from stages.engine.work import Work
from stages.planner.hours import HoursBelief
from stages.queries import learnt_hours
from stages.queries.estimate_asked import Asked
from stages.queries.estimate_hours import hours_lines
from stages.queries.estimate_materials import Need, material_lines, needs_of
from stages.queries.sheet_log import places_in_words
from stages.queries.work import log_of


@dataclass(frozen=True, slots=True, kw_only=True)
class Basis:
    """All that the estimates of one hull are reckoned from, read once, in the ``language`` of the hull's owner."""

    language: str
    work: Work
    terms: Terms
    hourly_rate: Decimal
    markup_pct: Decimal
    beliefs: Mapping[str, HoursBelief]
    needs: tuple[Need, ...]
    places: Mapping[str, str]


@dataclass(frozen=True, slots=True, kw_only=True)
class Reckoned:
    """An estimate, and the products that it leaves out since nobody knows what they cost."""

    sums: Estimate
    unpriced: tuple[str, ...]


def basis_of(hull: Hull, work: Work, shop: Shop) -> Basis:
    """Read what an estimate of a hull is reckoned from, in a fixed number of queries.

    Raises
    ------
    EstimateError
        When the shop's settings on money cannot be.
    """
    terms, language = terms_of(shop), hull.owner.reads
    with translation.override(language):
        needs, places = needs_of(hull, work, terms.currency, UnitSystem(shop.units)), _places(hull)
    return Basis(
        language=language,
        work=work,
        terms=terms,
        hourly_rate=shop.hourly_rate,
        markup_pct=shop.markup_pct,
        beliefs=learnt_hours.beliefs(),
        needs=needs,
        places=places,
    )


def _places(hull: Hull) -> dict[str, str]:
    """By kind of damage, where the last survey that stands found it."""
    surveys = [entry for entry in in_force(log_of(hull.pk)) if entry.kind is EntryKind.SURVEY]
    found = surveys[-1].details.get("places", {}) if surveys else {}
    return {damage: places_in_words(where) for damage, where in found.items()}


def reckoned(basis: Basis, asked: Asked) -> Reckoned:
    """The estimate, in the words that its owner reads: they are what is agreed on, and frozen.

    Raises
    ------
    EstimateError
        With the field, for a figure that no estimate can hold.
    """
    with translation.override(basis.language):
        return _reckoned(basis, asked)


def _reckoned(basis: Basis, asked: Asked) -> Reckoned:
    currency = basis.terms.currency
    hours = hours_lines(basis.work, currency, basis.hourly_rate, basis.beliefs, asked.hours, basis.places)
    materials, unpriced = material_lines(basis.needs, currency, basis.markup_pct, asked.prices)
    lumps = [subcontract(currency, words=words, price=price) for words, price in asked.lumps]
    off: list[Line] = []
    if asked.discount:
        off = [discount(currency, words=asked.discount[0], price=asked.discount[1])]
    return Reckoned(sums=reckon([*hours, *materials, *lumps, *off], basis.terms), unpriced=tuple(unpriced))
