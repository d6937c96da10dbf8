"""How the shop plans: public holidays, the wait for owners, how long a plan is bettered, alerts; and its skills."""

from typing import Any

from django.contrib.admin import register
from django.db.models import Model
from django.forms import CheckboxSelectMultiple
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect

from shop.admin.site import Pages, site
from shop.models import Planning, Shop, Skill
from shop.working_hours import hands


@register(Planning, site=site)
class PlanningAdmin(Pages):
    """One row: its list is its form."""

    fields = (
        ("country", "region"),
        "answer_days",
        "plan_seconds",
        "promise_limit_pct",
        "alert_by_letter",
    )

    def changelist_view(self, request: HttpRequest, extra_context: Any = None) -> HttpResponse:
        """Open the one shop's planning, or first the form that makes the shop."""
        if Shop.objects.exists():
            return redirect("admin:shop_planning_change", 1)
        return redirect("admin:shop_shop_add")

    def has_add_permission(self, request: HttpRequest) -> bool:
        """Never: the shop itself is made on its own page."""
        return False

    def has_delete_permission(self, request: HttpRequest, obj: Model | None = None) -> bool:
        """Never."""
        return False


@register(Skill, site=site)
class SkillAdmin(Pages):
    """What not everybody does; steps of a route ask for it by name."""

    list_display = ("name", "who")

    def who(self, skill: Skill) -> str:
        """Name who does it."""
        return ", ".join(person.called for person in skill.people.all())

    def get_queryset(self, request: HttpRequest) -> Any:
        """Read who does it along."""
        return super().get_queryset(request).prefetch_related("people")

    def formfield_for_manytomany(self, db_field: Any, request: HttpRequest, **kwargs: Any) -> Any:
        """Offer whoever works on boats, each with a box to tick."""
        kwargs["widget"], kwargs["queryset"] = CheckboxSelectMultiple(), hands()
        return super().formfield_for_manytomany(db_field, request, **kwargs)

    def has_delete_permission(self, request: HttpRequest, obj: Model | None = None) -> bool:
        """Only what no step of a route asks for."""
        return super().has_delete_permission(request, obj) and not (obj and obj.routestage_set.exists())  # type: ignore[attr-defined]
