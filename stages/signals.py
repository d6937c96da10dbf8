"""Whatever changes the shop or the work in it has a new plan made in the background."""

from typing import Any

from django.db.models.signals import post_save

from shop.models import Pulse
from stages.services.planning import ask_for_plan


def shop_changed(**kwargs: Any) -> None:
    """Ask for a plan along with the write that changed something."""
    ask_for_plan()


post_save.connect(shop_changed, sender=Pulse, dispatch_uid="a plan after each change")
