"""Addresses of the floor, of what can be done next, and of the air."""

from django.urls import path

from stages.views.air import air, air_weather
from stages.views.floor import floor, floor_part
from stages.views.held import pages
from stages.views.next import next_steps

urlpatterns = [
    path("", floor, name="floor"),
    path("floor/part/", floor_part, name="floor_part"),
    path("next/", next_steps, name="next"),
    path("waiting/pages/", pages, name="waiting_pages"),
    path("air/", air, name="air"),
    path("air/weather/", air_weather, name="air_weather"),
]
