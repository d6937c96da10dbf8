"""From where a boat is looked at on photos."""

from django.db import models
from django.utils.translation import gettext_lazy as _


class View(models.TextChoices):
    """From where a photo looks at the boat; two of one view make a pair of before and after."""

    NONE = "", _("none in particular")
    PORT = "port", _("port side")
    STARBOARD = "starboard", _("starboard side")
    BOW = "bow", _("bow")
    STERN = "stern", _("stern")
    BOTTOM = "bottom", _("bottom")
    INSIDE = "inside", _("inside")
    DECKS = "decks", _("decks and gunwales")


def final_views() -> list[str]:
    """What a new shop photographs of every boat before it leaves."""
    return [View.PORT.value, View.INSIDE.value, View.DECKS.value]
