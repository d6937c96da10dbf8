"""Addresses of the pages as an app on a phone."""

from django.urls import path

from shop.views.app import manifest, offline, waiting, who, worker

urlpatterns = [
    path("app.webmanifest", manifest, name="manifest"),
    path("worker.js", worker, name="worker"),
    path("offline/", offline, name="offline"),
    path("waiting/", waiting, name="waiting"),
    path("waiting/who/", who, name="waiting_who"),
]
