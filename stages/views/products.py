"""One product: its label, what the shop has learnt of it, and how far a pot goes."""

from django.http import HttpResponse
from django.shortcuts import get_object_or_404, render
from django.utils import timezone
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_safe

from shop.access import lookers
from shop.models import Product
from stages.forms.film import FilmForm
from stages.queries.product import poured, product_page
from stages.queries.world import around
from stages.views.floor import FloorRequest


@require_safe
@never_cache
@lookers
def product(request: FloorRequest, pk: int) -> HttpResponse:
    """A product; with ``?area=`` the pot for so much of it."""
    row = get_object_or_404(Product, pk=pk)
    form = FilmForm(request.GET if "area" in request.GET else None, product=row, shop=request.shop, auto_id="film-%s")
    page = product_page(product=row, shop=around(pulse=request.pulse, taken={}), now=timezone.now())
    return render(
        request, "stages/product.html", {"page": page, "form": form, "pot": poured(form.reckoned, request.shop)}
    )
