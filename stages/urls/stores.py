"""Addresses of the stores and of the buy list."""

from django.urls import path

from stages.views.buylist import buylist, buylist_order
from stages.views.stores import lot, lot_do, stores, stores_order, stores_take_in

urlpatterns = [
    path("stores/", stores, name="stores"),
    path("stores/take-in/", stores_take_in, name="stores_take_in"),
    path("stores/buy/", buylist, name="buylist"),
    path("stores/buy/order/", buylist_order, name="buylist_order"),
    path("stores/orders/<int:pk>/<slug:action>/", stores_order, name="stores_order"),
    path("stores/lots/<int:pk>/", lot, name="lot"),
    path("stores/lots/<int:pk>/<slug:action>/", lot_do, name="lot_do"),
]
