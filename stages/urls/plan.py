"""Addresses of the plan."""

from django.urls import path

from stages.views.plan import plan

urlpatterns = [
    path("plan/", plan, name="plan"),
]
