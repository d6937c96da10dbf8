"""Addresses of estimates and change orders on the shop's side; their owners' answers stand with the progress link."""

from django.urls import path

from stages.urls import tags as tags  # it registers the converter
from stages.views.change_orders import change_order
from stages.views.estimates import (
    estimate,
    estimate_pdf,
    estimate_send,
    estimate_sent,
    estimate_withdraw,
    estimates,
)

urlpatterns = [
    path("estimates/", estimates, name="estimates"),
    path("hulls/<tag:tag>/estimate/", estimate, name="estimate"),
    path("hulls/<tag:tag>/estimate/send/", estimate_send, name="estimate_send"),
    path("hulls/<tag:tag>/estimates/<int:pk>/", estimate_sent, name="estimate_sent"),
    path("hulls/<tag:tag>/estimates/<int:pk>/pdf/", estimate_pdf, name="estimate_pdf"),
    path("hulls/<tag:tag>/estimates/<int:pk>/withdraw/", estimate_withdraw, name="estimate_withdraw"),
    path("hulls/<tag:tag>/change-order/", change_order, name="change_order"),
]
