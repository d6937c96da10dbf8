"""Every address of the shop's site."""

from django.contrib import admin
from django.urls import path

from shop.views.health import healthz

urlpatterns = [
    path("admin/", admin.site.urls),
    path("healthz", healthz, name="healthz"),
]
