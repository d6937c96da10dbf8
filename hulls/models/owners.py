"""The people whose boats these are."""

from django.conf import settings
from django.db import models
from django.utils.translation import gettext_lazy as _


class Owner(models.Model):
    """A boat's owner."""

    name = models.CharField(_("name"), max_length=80)
    email = models.EmailField(_("e-mail"), blank=True)
    phone = models.CharField(_("telephone"), max_length=40, blank=True)
    # Empty until somebody chose: their pages then follow the browser, and their letters the shop.
    language = models.CharField(_("language"), max_length=7, choices=settings.LANGUAGES, blank=True)

    class Meta:
        verbose_name = _("boat owner")
        verbose_name_plural = _("boat owners")
        ordering = ["name"]

    def __str__(self) -> str:
        return self.name

    @property
    def reads(self) -> str:
        """The language of what is written to them."""
        return self.language or settings.LANGUAGE_CODE
