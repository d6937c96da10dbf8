"""Colours in a sheet: a name, a number like #2f5d46, or both."""

import re

from django.utils.translation import gettext as _

from shop.sheets.problems import CellProblem
from shop.units.errors import quoted

MAX_NAME = 40

# Our own plain tones, so that a sheet that says "dark green" draws a green hull; the number wins where there is one.
TONES = {
    "green": "#2f5d46",
    "red": "#8f2f2a",
    "maroon": "#6a2430",
    "blue": "#2c4a6e",
    "grey": "#7d8380",
    "gray": "#7d8380",
    "black": "#2b2a28",
    "white": "#eeece4",
    "cream": "#e9dfc2",
    "ivory": "#ece5cf",
    "yellow": "#d2a93c",
    "orange": "#bd6a2c",
    "brown": "#6b4a32",
    "tan": "#b39468",
    "teal": "#2f6a6a",
    "purple": "#57406e",
}
_NUMBER = re.compile(r"#[0-9a-fA-F]{6}(?![0-9a-zA-Z])")
_STRAY = re.compile(r"[\s,;()]+")


def read_colour(text: str) -> tuple[str, str]:
    """Read one colour.

    Parameters
    ----------
    text
        What the cell says: ``spruce green``, ``#2f5d46`` or ``spruce green #2f5d46``.

    Returns
    -------
    tuple of str
        The colour as ``#rrggbb`` and its name, which is empty where only the number is given.

    Raises
    ------
    CellProblem
        The name ends in no colour that is known here, and there is no number.
    """
    number = _NUMBER.search(text)
    name = " ".join(_STRAY.split(_NUMBER.sub(" ", text))).strip()
    if len(name) > MAX_NAME:
        raise CellProblem(_("The name of a colour has at most %(most)d characters.") % {"most": MAX_NAME})
    if number and "#" not in name:
        return number[0].casefold(), name
    tone = TONES.get(name.casefold().rpartition(" ")[2])
    if tone is None:
        raise CellProblem(
            _("%(typed)s is not a colour known here. Write its number too, like plum #5b2a4e.")
            % {"typed": quoted(text)}
        )
    return tone, name
