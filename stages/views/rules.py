"""The rule book, generated from the engine's own rules and from the shop's route."""

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_safe

from shop.access import lookers
from stages.queries.rules import route_in_words, rules_in_words


@require_safe
@lookers
def rule_book(request: HttpRequest) -> HttpResponse:
    """Show every rule with its reason and its source, and the route's stages with their cautions."""
    return render(request, "stages/rules.html", {"rules": rules_in_words(), "route": route_in_words()})
