"""Addresses for devices."""

from django.urls import path

from shop.views.readings_api import add_reading, openapi, readings

urlpatterns = [
    path("api/readings", readings, name="api_readings"),
    path("api/readings/add", add_reading, name="api_add_reading"),
    path("api/openapi.json", openapi, name="openapi"),
]
