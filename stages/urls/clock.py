"""Addresses of a zone's air and of a product; a coat's own page stands with its hull's."""

from django.urls import path

from stages.views.products import product
from stages.views.zones import zone_air

urlpatterns = [
    path("air/<int:pk>/", zone_air, name="zone_air"),
    path("products/<int:pk>/", product, name="product"),
]
