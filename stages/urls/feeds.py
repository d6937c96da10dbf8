"""Addresses of calendar feeds."""

from django.urls import path

from stages.views.feeds import feed, feeds, withdraw

urlpatterns = [
    path("calendars/", feeds, name="feeds"),
    path("calendars/<int:pk>/withdraw/", withdraw, name="withdraw_feed"),
    path("calendars/<str:token>.ics", feed, name="feed"),
]
