"""The settings pages as tests go through them: their addresses, what they say, and what a browser would send."""

from typing import Any

from django.contrib.messages import get_messages
from django.db.models import Model
from django.test import Client
from django.urls import reverse

from tests.answers import Answer


def address(model: type[Model], page: str, *args: object) -> str:
    return reverse(f"admin:{model._meta.app_label}_{model._meta.model_name}_{page}", args=args)


def act_on(client: Client, action: str, *rows: Model) -> Answer:
    model = type(rows[0])
    data = {"action": action, "_selected_action": [row.pk for row in rows]}
    return client.post(address(model, "changelist"), data)


def said(response: Answer) -> str:
    return " ".join(str(message) for message in get_messages(response.wsgi_request))


def filled(response: Answer) -> dict[str, Any]:
    """What a browser would send of the form that a settings page shows, unchanged."""
    context = response.context
    data: dict[str, Any] = {}
    forms = [context["adminform"].form]
    for inline in context["inline_admin_formsets"]:
        forms += [inline.formset.management_form, *inline.formset.forms]
    for form in forms:
        data |= filled_form(form)
    return data


def filled_form(form: Any) -> dict[str, Any]:
    """What a browser would send of a form, unchanged."""
    data: dict[str, Any] = {}
    for bound in form:
        value = bound.value()
        if value is not None and value is not False:
            data[bound.html_name] = [getattr(v, "pk", v) for v in value] if isinstance(value, list) else value
    return data


def stage_of(data: dict[str, Any], key: str) -> str:
    """The beginning of the names of a stage's fields."""
    return next(name for name, value in data.items() if name.endswith("-key") and value == key).removesuffix("key")
