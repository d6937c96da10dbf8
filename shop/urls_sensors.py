"""Addresses of the sensors' page, and of the page for loggers' files."""

from django.urls import path

from shop.views.readings_file import import_readings
from shop.views.sensors import sensor_change, sensor_decide, sensor_token, sensor_withdraw, sensors

urlpatterns = [
    path("sensors/", sensors, name="sensors"),
    path("sensors/decide/", sensor_decide, name="sensor_decide"),
    path("sensors/<int:pk>/", sensor_change, name="sensor_change"),
    path("sensors/<int:pk>/token/", sensor_token, name="sensor_token"),
    path("sensors/<int:pk>/withdraw/", sensor_withdraw, name="sensor_withdraw"),
    path("readings/import/", import_readings, name="import_readings"),
]
