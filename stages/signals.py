"""Whatever changes the shop or the work in it has a new plan made in the background."""

from typing import Any

from shop.models.pulse import bumped
from stages.services.planning import ask_for_plan


def shop_changed(**kwargs: Any) -> None:
    """Ask for a plan along with the write that changed something."""
    ask_for_plan()


bumped.connect(shop_changed, dispatch_uid="a plan after each change")
