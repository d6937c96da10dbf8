"""The program's own settings, as the environment says, with the app of effects beside it."""

from shop.settings import *  # noqa: F403
from shop.settings import INSTALLED_APPS

INSTALLED_APPS = [*INSTALLED_APPS, "tests.system.effects"]
