"""The crew: log-ins, roles and passwords."""

from typing import Any

from django.contrib.admin import action, register
from django.contrib.auth.admin import UserAdmin
from django.contrib.auth.forms import UserChangeForm, UserCreationForm
from django.core.exceptions import ValidationError
from django.db.models import Model, QuerySet
from django.http import HttpRequest
from django.utils.translation import gettext_lazy as _
from django.utils.translation import ngettext

from shop.admin.site import site
from shop.models import CrewMember, Role
from shop.services.people import log_out_everywhere, unlock


class CrewForm(UserChangeForm):  # type: ignore[type-arg]  # it takes no parameter when it runs
    """A crew member's log-in; the shop always keeps an owner who can log in."""

    def clean(self) -> dict[str, Any]:
        """Refuse to take the last owner's role or log-in away."""
        cleaned = super().clean() or {}
        stays = cleaned.get("role") == Role.OWNER and cleaned.get("is_active")
        others = CrewMember.objects.filter(role=Role.OWNER, is_active=True).exclude(pk=self.instance.pk)
        if not stays and not others.exists():
            raise ValidationError(_("The shop needs an owner who can log in. Make somebody else one first."))
        return cleaned


@register(CrewMember, site=site)
class CrewAdmin(UserAdmin):  # type: ignore[type-arg]  # it takes no parameter when it runs
    """People with a log-in. Roles say what they may do; Django's groups and permissions are not used."""

    form = CrewForm
    add_form = UserCreationForm
    list_display = ("username", "called", "role", "is_active", "last_login")
    list_filter = ("role", "is_active")
    filter_horizontal = ()
    readonly_fields = ("last_login", "date_joined")
    fieldsets = (
        (None, {"fields": ("username", "password")}),
        (_("Person"), {"fields": ("first_name", "last_name", "email")}),
        (_("What this log-in may do"), {"fields": ("role", "is_active", "at_bench")}),
        (_("Since when"), {"fields": ("last_login", "date_joined")}),
    )
    add_fieldsets = ((None, {"classes": ("wide",), "fields": ("username", "role", "password1", "password2")}),)
    actions = ("log_out", "open_again")

    def has_delete_permission(self, request: HttpRequest, obj: Model | None = None) -> bool:
        """Everybody but oneself: so an owner always stays."""
        return super().has_delete_permission(request, obj) and obj != request.user

    @action(description=_("Log out everywhere"))
    def log_out(self, request: HttpRequest, queryset: QuerySet[CrewMember]) -> None:
        """End every session of the chosen people."""
        for person in queryset:
            log_out_everywhere(person=person)
        count = len(queryset)
        self.message_user(
            request, ngettext("%(n)s person is logged out.", "%(n)s people are logged out.", count) % {"n": count}
        )

    @action(description=_("Open the log-in again after too many wrong passwords"))
    def open_again(self, request: HttpRequest, queryset: QuerySet[CrewMember]) -> None:
        """Forget the failed log-ins of the chosen people."""
        for person in queryset:
            unlock(person=person)
        count = len(queryset)
        self.message_user(request, ngettext("%(n)s log-in is open.", "%(n)s log-ins are open.", count) % {"n": count})
