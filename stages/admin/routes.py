"""Routes: drafts are written here and published; a published version is only read, since hulls in work lean on it."""

from typing import Any

from django import forms
from django.contrib import messages
from django.contrib.admin import StackedInline, action, register
from django.core.exceptions import ValidationError
from django.db.models import Count, Model, QuerySet
from django.forms.models import BaseInlineFormSet
from django.http import HttpRequest
from django.utils.functional import cached_property
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy, ngettext

from shop.admin.site import Pages, site
from shop.models import Skill
from stages.engine.errors import EngineError
from stages.engine.vocab import Gate
from stages.models import Route, RouteStage
from stages.services.arrival import next_version, publish_route

GATES = {
    Gate.LEAD: gettext_lazy("a lead test comes first"),
    Gate.RAGS: gettext_lazy("its oily rags are dealt with"),
    Gate.SURVEY: gettext_lazy("it leaves a survey on record"),
    Gate.APPROVED: gettext_lazy("it waits for the approved estimate"),
    Gate.GLUE: gettext_lazy("its wood is dry enough to glue"),
    Gate.HAND_OVER: gettext_lazy("the boat goes home with it"),
}


class StageForm(forms.ModelForm):  # type: ignore[type-arg]  # it takes no parameter when it runs
    """One stage of a draft."""

    gates = forms.MultipleChoiceField(
        label=gettext_lazy("Special duties"),
        choices=GATES.items(),
        required=False,
        widget=forms.CheckboxSelectMultiple,
    )

    class Meta:
        model = RouteStage
        fields = "__all__"  # noqa: DJ007  # the inline's fieldsets name them
        help_texts = {
            "when": gettext_lazy("Empty for every hull, or count:ribs, choice:filler=latex, condition:inside=flaking."),
            "key": gettext_lazy("Small letters and strokes; the log names the stage by it."),
            "owner_words": gettext_lazy("What the boat’s owner reads while it is in hand."),
        }

    def clean(self) -> dict[str, Any]:
        """Refuse coats of nothing or on nothing."""
        cleaned = super().clean() or {}
        if cleaned.get("coats") and not (cleaned.get("product_kind") and cleaned.get("surface")):
            self.add_error("coats", _("Say of which kind of product the coats are, and where they go."))
        return cleaned


class StageFormSet(BaseInlineFormSet):  # type: ignore[type-arg]  # it takes no parameter when it runs
    """The stages of one draft; they wait for each other only."""

    @cached_property
    def stages(self) -> list[tuple[int, str]]:
        """The stages to wait for, read once for all forms."""
        return [(stage.pk, stage.name) for stage in self.instance.stages.all()] if self.instance.pk else []

    @cached_property
    def skills(self) -> list[tuple[int | str, str]]:
        """The shop's skills, read once for all forms."""
        return [("", _("nobody in particular")), *((skill.pk, skill.name) for skill in Skill.objects.all())]

    def add_fields(self, form: "forms.ModelForm[RouteStage]", index: int | None) -> None:
        """Offer this draft's own stages to wait for."""
        super().add_fields(form, index)
        skill = form.fields["skill"]
        assert isinstance(skill, forms.ModelChoiceField)
        skill.choices = self.skills
        after = form.fields["after"]
        assert isinstance(after, forms.ModelMultipleChoiceField)
        after.queryset = RouteStage.objects.filter(route=self.instance.pk)
        after.choices = self.stages


class StageInline(StackedInline):  # type: ignore[type-arg]  # it takes no parameter when it runs
    """The stages of a route, in order."""

    model = RouteStage
    form = StageForm
    formset = StageFormSet
    extra = 0
    fieldsets = (
        (None, {"fields": (("name", "key", "position"), ("station_kind", "skill", "when"), "after", "gates")}),
        (
            gettext_lazy("Coats, and what must be dry"),
            {
                "classes": ("collapse",),
                "fields": (("coats", "product_kind", "surface"), ("strips", "needs_surface", "needs_dryness")),
            },
        ),
        (
            gettext_lazy("Hours, words and caution"),
            {
                "classes": ("collapse",),
                "fields": (
                    ("hours_fixed", "hours_each", "counted", "hours_per_m2"),
                    ("owner_words", "milestone"),
                    "caution",
                ),
            },
        ),
    )

    def get_queryset(self, request: HttpRequest) -> QuerySet[RouteStage]:
        """Read what each stage waits for in one query."""
        return super().get_queryset(request).prefetch_related("after")


class RouteForm(forms.ModelForm):  # type: ignore[type-arg]  # it takes no parameter when it runs
    """The name of a new route."""

    class Meta:
        model = Route
        fields = ("name",)

    def clean_name(self) -> str:
        """Refuse a name that a route has: that one gets a next version instead."""
        name = str(self.cleaned_data["name"])
        if Route.objects.filter(name=name).exclude(pk=self.instance.pk).exists():
            raise ValidationError(_("There is a route of that name: make a draft of its next version in the list."))
        return name


@register(Route, site=site)
class RouteAdmin(Pages):
    """The versions of routes."""

    form = RouteForm
    inlines = (StageInline,)
    list_display = ("name", "version", "published_at", "current", "hulls")
    actions = ("draft_next", "publish")
    fields = ("name", "version", "published_at", "current")
    save_on_top = True

    def get_queryset(self, request: HttpRequest) -> QuerySet[Route]:
        """Count the hulls of each version along."""
        found: QuerySet[Route] = super().get_queryset(request)
        return found.annotate(hull_count=Count("hullwork"))

    def hulls(self, route: Any) -> int:
        """Say how many hulls go by this version."""
        return int(route.hull_count)

    hulls.short_description = gettext_lazy("hulls")  # type: ignore[attr-defined]

    def get_readonly_fields(self, request: HttpRequest, obj: Route | None = None) -> tuple[str, ...]:
        """A version keeps its name and number."""
        return ("name", "version", "published_at", "current") if obj else ("version", "published_at", "current")

    def has_change_permission(self, request: HttpRequest, obj: Model | None = None) -> bool:
        """Drafts only."""
        return super().has_change_permission(request, obj) and _draft(obj)

    def has_delete_permission(self, request: HttpRequest, obj: Model | None = None) -> bool:
        """Drafts only."""
        return super().has_delete_permission(request, obj) and _draft(obj)

    @action(description=gettext_lazy("Draft of the next version"))
    def draft_next(self, request: HttpRequest, queryset: QuerySet[Route]) -> None:
        """Copy versions into drafts."""
        drafts = [next_version(route=route) for route in queryset]
        text = ngettext("%(names)s is a draft now.", "%(names)s are drafts now.", len(drafts))
        self.message_user(request, text % {"names": ", ".join(map(str, drafts))})

    @action(description=gettext_lazy("Publish: new hulls take it"))
    def publish(self, request: HttpRequest, queryset: QuerySet[Route]) -> None:
        """Publish one version."""
        routes = list(queryset)
        if len(routes) != 1:
            self.message_user(request, _("Choose one version: new hulls take one route."), messages.ERROR)
            return
        try:
            publish_route(route=routes[0])
        except EngineError as error:
            self.message_user(request, _(error.message), messages.ERROR)
            return
        self.message_user(request, _("New hulls take %(route)s.") % {"route": routes[0]})


def _draft(route: Model | None) -> bool:
    return not isinstance(route, Route) or route.published_at is None
