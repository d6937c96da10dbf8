"""Addresses of hours and days off."""

from django.urls import path

from shop.views.hours import closing_days, days_off_of_person, holiday, hours, hours_of_person, remove_off

urlpatterns = [
    path("hours/", hours, name="hours"),
    path("hours/closing/", closing_days, name="closing_days"),
    path("hours/<int:pk>/", hours_of_person, name="hours_of_person"),
    path("hours/<int:pk>/off/", days_off_of_person, name="days_off_of_person"),
    path("hours/off/<int:pk>/remove/", remove_off, name="remove_off"),
    path("hours/holidays/<str:day>/", holiday, name="holiday"),
]
