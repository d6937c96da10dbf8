"""Clean up a quantity as people type it, before it is read."""

import unicodedata
from decimal import ROUND_HALF_EVEN, Decimal

from django.utils.formats import get_format
from django.utils.translation import gettext as _

from shop.units.errors import UnitError, quoted

MAX_TYPED = 60

_LOOKALIKES = str.maketrans(
    {
        **dict.fromkeys("′’‘´`ʹʼ", "'"),
        **dict.fromkeys("″”“„‟ʺ〃", '"'),
        **dict.fromkeys("−‐‑‒–—", "-"),
        **dict.fromkeys("⁄∕", "/"),
        **dict.fromkeys("º˚", "°"),
        "℃": "°c",
        "℉": "°f",
    }
)


def tidy(text: str) -> str:
    """Bring typographic marks, built fractions and odd spaces to their plain form, in lower case.

    Parameters
    ----------
    text
        What was typed, such as ``34½ ″``.

    Returns
    -------
    str
        The same in plain characters, such as ``34 1/2 "``.

    Raises
    ------
    UnitError
        Nothing was typed, or too much to be a quantity.
    """
    if len(text) > MAX_TYPED:
        raise UnitError(_("%(typed)s is too long for a measure.") % {"typed": quoted(text)})
    plain = "".join(_built_fraction(char) for char in text.translate(_LOOKALIKES))
    plain = " ".join(plain.replace("''", '"').casefold().split())
    if not plain:
        raise UnitError(_("Nothing is written here."))
    return plain


def _built_fraction(char: str) -> str:
    if unicodedata.decomposition(char).startswith("<fraction>"):
        return " " + unicodedata.normalize("NFKC", char).replace("⁄", "/")
    return char


def rounded(value: float, places: int) -> str:
    """Write a number with a fixed count of decimals, half to even on the decimal digits, never as minus zero.

    Parameters
    ----------
    value
        A finite number.
    places
        Decimals to keep.

    Returns
    -------
    str
        The number with a decimal point.
    """
    decimal = Decimal(str(value)).quantize(Decimal(1).scaleb(-places), rounding=ROUND_HALF_EVEN)
    return f"{decimal + 0:.{places}f}"


def decimal(value: float, places: int) -> str:
    """Write a number as `rounded` does, with the decimal sign of the reader's language."""
    return rounded(value, places).replace(".", str(get_format("DECIMAL_SEPARATOR")))
