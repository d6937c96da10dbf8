"""Colours by name, for a shop to offer: plain words, no maker's chart. The colours on screen are invented."""

from django.utils.translation import gettext_noop

PALETTE = (
    (gettext_noop("spruce green"), "#2f5d46"),
    (gettext_noop("bottle green"), "#22423a"),
    (gettext_noop("lake blue"), "#33536f"),
    (gettext_noop("heron blue"), "#355f78"),
    (gettext_noop("oxide red"), "#7a2f28"),
    (gettext_noop("signal red"), "#a03a2c"),
    (gettext_noop("old cream"), "#d8cdb0"),
    (gettext_noop("bark brown"), "#5b4a36"),
)
