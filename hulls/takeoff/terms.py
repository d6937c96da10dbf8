"""What an amount comes from: a sum written out term by term, so that it can be opened, read and done again."""

from collections.abc import Iterable
from dataclasses import dataclass
from enum import StrEnum

import numpy as np


class How(StrEnum):
    """How a term joins those before it, read from the first to the last."""

    START = "start"  # a new sum, added to what stands before it
    TIMES = "times"
    OVER = "over"
    PLUS = "plus"
    UP = "up"  # all of it so far, up to whole pieces


HAIR = 1e-9  # what rounding leaves of a whole number is no further piece


@dataclass(frozen=True, slots=True, kw_only=True)
class Term:
    """One number of a sum.

    Parameters
    ----------
    words : str
        What it is, for a person.
    value : float
        The number in `unit`.
    unit : str
        ``m``, ``m2``, ``L``, ``kg``, ``pc``, two of them with a slash, or nothing for a bare number.
    how : How
        How it joins the terms before it.
    """

    words: str
    value: float
    unit: str = ""
    how: How = How.TIMES


def start(words: str, value: float, unit: str) -> Term:
    """Begin a sum."""
    return Term(words=words, value=value, unit=unit, how=How.START)


def times(words: str, value: float, unit: str = "") -> Term:
    """Multiply what stands before by a number."""
    return Term(words=words, value=value, unit=unit, how=How.TIMES)


def over(words: str, value: float, unit: str = "") -> Term:
    """Divide what stands before by a number."""
    return Term(words=words, value=value, unit=unit, how=How.OVER)


def plus(words: str, value: float, unit: str) -> Term:
    """Add a number to what stands before."""
    return Term(words=words, value=value, unit=unit, how=How.PLUS)


def up(words: str) -> Term:
    """Go up to whole pieces."""
    return Term(words=words, value=1.0, unit="pc", how=How.UP)


def worth(terms: Iterable[Term]) -> float:
    """Do the sum.

    Parameters
    ----------
    terms : iterable of Term
        The first one starts a sum; each further start begins another, and all are added up.

    Returns
    -------
    float
        The amount; an array where the terms hold arrays, one number a boat.
    """
    whole = part = 0.0
    for term in terms:
        match term.how:
            case How.START:
                whole, part = whole + part, term.value
            case How.TIMES:
                part = part * term.value
            case How.OVER:
                part = part / term.value
            case How.PLUS:
                part = part + term.value
            case How.UP:
                whole, part = 0.0, np.ceil(whole + part - HAIR)
    return whole + part
