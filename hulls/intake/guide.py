"""What a sheet may hold, in words for the person who fills it in."""

from dataclasses import dataclass

from django.utils.functional import Promise
from django.utils.translation import gettext_lazy as _

from hulls.intake.columns import REQUIRED

SAYS: dict[str, Promise] = {
    "tag": _("letters, digits, dots, dashes and slashes; no two hulls have the same"),
    "owner": _("the name of the boat's owner"),
    "email": _("the owner's e-mail address"),
    "phone": _("the owner's telephone number"),
    "boat name": _("the boat's own name"),
    "length": _("over all: 16', 16 ft 2 in, 4.9 m or 490 cm; a bare number needs its unit above the column"),
    "beam": _('the greatest, over the planking: 34 1/2", 34.5 in or 87.6 cm'),
    "depth": _("amidships: 12 in or 30.5 cm"),
    "end depth": _("height of the ends: 24 in or 61 cm"),
    "rocker": _("rise of the keel line at the stems: 1 in or 25 mm; as its type has it when left out"),
    "hull type": _("all-round, flat, round, river or freighter; all-round when left out"),
    "wood": _("what it is planked and railed with"),
    "fittings": _("stem bands, seats, rings"),
    "filler": _("latex or oil"),
    "inside varnish": _("before or after the canvas"),
    "colour": _("dark green, or with its number: plum #5b2a4e"),
    "old colour": _("the colour that it came in"),
    "arrived": _("a date: 2026-05-03; today when left out"),
    "promised": _("a date, not before the arrival"),
    "priority": _("low, normal or high"),
    "notes": _("anything, on as many lines as it takes"),
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Guide:
    """One column: its name, whether every hull needs it, and what it takes."""

    column: str
    required: bool
    says: Promise


GUIDE = tuple(Guide(column=column, required=column in REQUIRED, says=says) for column, says in SAYS.items())
