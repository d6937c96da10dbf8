"""The pulse: stamps that change with every write, so that a screen can ask cheaply whether anything changed."""

from collections.abc import Iterator
from contextlib import contextmanager
from contextvars import ContextVar
from copy import copy
from uuid import uuid4

from django.db import models, transaction
from django.db.models import F
from django.dispatch import Signal
from django.utils.translation import gettext_lazy as _

bumped = Signal()  # sent along with a write that changed the shop or the work, in its transaction; not by readings


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
    def now(cls) -> "Pulse":
        """The stamps as they stand; fresh ones, which match nothing, before the first write."""
        held = _held.get()
        if held is not None:
            return copy(held)
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
        held = _held.get()
        if held is not None:
            held._renew(fresh)
            return
        if not cls.objects.filter(pk=1).update(**fresh):
            cls.objects.update_or_create(pk=1, defaults=fresh)
        bumped.send(cls)

    @classmethod
    def take_air_turn(cls) -> int:
        """Count a write of readings or weather, and give its number; call it first in the transaction.

        Whoever else takes a turn waits until this transaction ends, so that turns become visible in their order.
        """
        held = _held.get()
        if held is not None:
            held._renew({"beat": new_stamp()})
            held.air_turn += 1
            return held.air_turn
        cls.objects.get_or_create(pk=1)
        cls.objects.filter(pk=1).update(beat=new_stamp(), air_turn=F("air_turn") + 1)
        return cls.objects.get(pk=1).air_turn

    @classmethod
    @contextmanager
    def held(cls) -> Iterator[None]:
        """Keep the stamps in hand for one long transaction of many writes, and write them down once, at its end.

        Whoever else writes waits until then, as behind the first `bump` of any transaction.
        """
        with transaction.atomic():
            cls.objects.get_or_create(pk=1)
            pulse = cls.objects.select_for_update().get(pk=1)
            token = _held.set(pulse)
            try:
                yield
            finally:
                _held.reset(token)
            pulse.save()
            bumped.send(cls)

    def _renew(self, stamps: dict[str, str]) -> None:
        for name, stamp in stamps.items():
            setattr(self, name, stamp)


_held: ContextVar[Pulse | None] = ContextVar("held pulse", default=None)
