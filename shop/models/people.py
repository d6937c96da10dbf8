"""The people who work in the shop, and what each may do."""

import hmac
from typing import Any, ClassVar

from django.contrib.auth.models import AbstractUser, UserManager
from django.db import models
from django.utils.translation import gettext_lazy as _


class Role(models.TextChoices):
    """What a log-in may do."""

    OWNER = "owner", _("shop owner")
    CREW = "crew", _("crew")
    LOOK = "look", _("look only")


class CrewManager(UserManager["CrewMember"]):
    """Makes log-ins; whoever sets a shop up with `createsuperuser` is its owner."""

    use_in_migrations = False

    def create_superuser(
        self, username: str, email: str | None = None, password: str | None = None, **more: Any
    ) -> "CrewMember":
        """Make the shop's owner."""
        return super().create_superuser(username, email, password, **{"role": Role.OWNER, **more})


class CrewMember(AbstractUser):
    """Someone with a log-in: the shop's owner, a hand at the bench, or a screen on the wall.

    The role alone says what a log-in may do; Django's staff and superuser flags, groups and permissions say nothing.
    """

    role = models.CharField(_("role"), max_length=8, choices=Role, default=Role.CREW)
    log_in_round = models.PositiveIntegerField(
        _("log-in round"), default=0, editable=False, help_text=_("Raised to log every other session out.")
    )

    at_bench = models.BooleanField(
        _("works on boats"), default=True, help_text=_("Plans give steps to whoever does; a wall screen never counts.")
    )

    objects: ClassVar[CrewManager] = CrewManager()

    class Meta:
        verbose_name = _("crew member")
        verbose_name_plural = _("crew")

    @property
    def is_shop_owner(self) -> bool:
        """Whether this is the shop's owner, who alone may override a refusal."""
        return self.role == Role.OWNER

    @property
    def may_work(self) -> bool:
        """Whether this log-in may record anything."""
        return self.role in (Role.OWNER, Role.CREW)

    @property
    def called(self) -> str:
        """The name that the log shows."""
        return self.get_full_name() or self.username

    def has_perm(self, perm: str, obj: object = None) -> bool:
        """Whether the settings are open to this log-in: to the shop's owner, all of them."""
        return self.is_active and self.is_shop_owner

    def has_module_perms(self, app_label: str) -> bool:
        """The same for a whole app."""
        return self.is_active and self.is_shop_owner

    def get_session_auth_hash(self) -> str:
        """Digest that a session must carry: another round, and it is no longer logged in."""
        return self._with_round(super().get_session_auth_hash())

    def get_session_auth_fallback_hash(self):  # type: ignore[no-untyped-def]
        """The same under retired secret keys."""
        for digest in super().get_session_auth_fallback_hash():
            yield self._with_round(digest)

    def _with_round(self, digest: str) -> str:
        return hmac.new(digest.encode(), str(self.log_in_round).encode(), "sha256").hexdigest()
