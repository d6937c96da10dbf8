"""Addresses of the plan, and of how good its dates were."""

from django.urls import path

from stages.views.calibration import dates_kept
from stages.views.plan import plan, plan_helps, plan_when

urlpatterns = [
    path("plan/", plan, name="plan"),
    path("plan/kept/", dates_kept, name="dates_kept"),
    path("plan/helps/", plan_helps, name="plan_helps"),
    path("plan/when/", plan_when, name="plan_when"),
]
