"""Changes of the shop's set-up, from wherever they come, change its stamp."""

from typing import Any

from django.db.models.signals import post_delete, post_save

from shop.models import (
    Charging,
    DayOff,
    Pack,
    Planning,
    Product,
    Pulse,
    Shop,
    Skill,
    Station,
    WorkDay,
    WorkedHoliday,
    Zone,
)


def set_up_changed(**kwargs: Any) -> None:
    """Stamp the set-up anew."""
    Pulse.bump(setup=True)


for model in (Shop, Charging, Planning, Zone, Station, Product, Pack, Skill, WorkDay, DayOff, WorkedHoliday):
    for signal in (post_save, post_delete):
        signal.connect(set_up_changed, sender=model, dispatch_uid=f"set-up {model.__name__} {id(signal)}")
