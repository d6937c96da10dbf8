"""Addresses of the plan."""

from django.urls import path

from stages.views.plan import plan, plan_helps, plan_when

urlpatterns = [
    path("plan/", plan, name="plan"),
    path("plan/helps/", plan_helps, name="plan_helps"),
    path("plan/when/", plan_when, name="plan_when"),
]
