"""The settings pages: for the shop's owner alone, behind the same log-in as every other page."""

from typing import Any

from django.contrib.admin import AdminSite, ModelAdmin
from django.contrib.auth import REDIRECT_FIELD_NAME
from django.contrib.auth.views import redirect_to_login
from django.core.exceptions import PermissionDenied
from django.db.models import Model
from django.http import HttpRequest, HttpResponse
from django.urls import reverse
from django.utils.translation import gettext_lazy as _

from shop.models import CrewMember


class ShopAdminSite(AdminSite):
    """The admin pages, opened by the role and not by Django's staff flag."""

    site_header = _("Settings of the shop")
    site_title = _("Settings")
    index_title = _("What the shop has and how it works")

    def has_permission(self, request: HttpRequest) -> bool:
        """Whether this is the shop's owner."""
        user = request.user
        return isinstance(user, CrewMember) and user.is_active and user.is_shop_owner

    def login(self, request: HttpRequest, extra_context: dict[str, Any] | None = None) -> HttpResponse:
        """Send whoever is not logged in to the shop's own log-in page, and refuse everybody else."""
        if request.user.is_authenticated and not self.has_permission(request):
            raise PermissionDenied
        return redirect_to_login(request.GET.get(REDIRECT_FIELD_NAME) or reverse("admin:index"))


site = ShopAdminSite()


class Pages(ModelAdmin):  # type: ignore[type-arg]  # it takes no parameter when it runs
    """The settings pages of one table."""


class ReadOnlyAdmin(Pages):
    """Rows that only services write: shown, never touched."""

    def has_add_permission(self, request: HttpRequest, obj: Model | None = None) -> bool:
        """Never."""
        return False

    def has_change_permission(self, request: HttpRequest, obj: Model | None = None) -> bool:
        """Never."""
        return False

    def has_delete_permission(self, request: HttpRequest, obj: Model | None = None) -> bool:
        """Never."""
        return False
