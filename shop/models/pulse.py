"""The pulse: stamps that change with every write, so that a screen can ask cheaply whether anything changed."""

from typing import Self
from uuid import uuid4

from django.db import models
from django.db.models import F
from django.utils.translation import gettext_lazy as _


def new_stamp() -> str:
    """A stamp that was never used before."""
    return uuid4().hex


class Pulse(models.Model):
    """The one row of stamps.

    ``beat`` changes with every write; ``setup`` when the shop itself changes (stations, products, settings) or money
    comes in, which is as seldom; ``air`` when readings or weather do; ``stores`` when something comes into the stores
    or goes out of them. What was read under a stamp may be kept as long as the stamp stands.

    Readings come by the thousand, so most writes leave ``air`` alone and take a turn instead: every reading that they
    write or change carries the number of the turn, and whoever kept the air reads only what changed since.
    """

    beat = models.CharField(_("beat"), max_length=32, default=new_stamp)
    setup = models.CharField(_("set-up"), max_length=32, default=new_stamp)
    air = models.CharField(_("air"), max_length=32, default=new_stamp)
    stores = models.CharField(_("stores"), max_length=32, default=new_stamp)
    air_turn = models.PositiveBigIntegerField(_("turn of the air"), default=0)

    class Meta:
        verbose_name = _("pulse")
        verbose_name_plural = _("pulse")

    def __str__(self) -> str:
        return self.beat

    @classmethod
    def now(cls) -> Self:
        """The stamps as they stand; fresh ones, which match nothing, before the first write."""
        return cls.objects.filter(pk=1).first() or cls()

    @classmethod
    def bump(cls, *, setup: bool = False, air: bool = False, stores: bool = False) -> None:
        """Count one more write; call it last in the transaction, since other writers may have to wait for it."""
        fresh = {"beat": new_stamp()}
        if setup:
            fresh["setup"] = new_stamp()
        if air:
            fresh["air"] = new_stamp()
        if stores:
            fresh["stores"] = new_stamp()
        cls.objects.update_or_create(pk=1, defaults=fresh)

    @classmethod
    def take_air_turn(cls) -> int:
        """Count a write of readings or weather, and give its number; call it first in the transaction.

        Whoever else takes a turn waits until this transaction ends, so that turns become visible in their order.
        """
        cls.objects.get_or_create(pk=1)
        cls.objects.filter(pk=1).update(beat=new_stamp(), air_turn=F("air_turn") + 1)
        return cls.objects.get(pk=1).air_turn
