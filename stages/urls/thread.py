"""Addresses of what the shop and boats' owners write to each other, and of the colours that it asks for."""

from django.urls import path

from stages.views.thread import (
    colour_ask,
    colour_take,
    colour_withdraw,
    questions,
    thread,
    thread_settle,
    thread_strike,
)

urlpatterns = [
    path("questions/", questions, name="questions"),
    path("hulls/<tag:tag>/thread/", thread, name="thread"),
    path("hulls/<tag:tag>/thread/set-aside/", thread_settle, name="thread_settle"),
    path("hulls/<tag:tag>/thread/<int:pk>/strike/", thread_strike, name="thread_strike"),
    path("hulls/<tag:tag>/colour/", colour_ask, name="colour_ask"),
    path("hulls/<tag:tag>/colour/<int:pk>/take/", colour_take, name="colour_take"),
    path("hulls/<tag:tag>/colour/<int:pk>/withdraw/", colour_withdraw, name="colour_withdraw"),
]
