"""Addresses of log-in, log-out, and everybody's own page."""

from django.contrib.auth.views import LogoutView
from django.urls import path

from shop.views.people import LogIn, change_password, log_out_others, own_page

urlpatterns = [
    path("login/", LogIn.as_view(), name="login"),
    path("logout/", LogoutView.as_view(), name="logout"),
    path("me/", own_page, name="me"),
    path("me/password/", change_password, name="change_password"),
    path("me/log-out-others/", log_out_others, name="log_out_others"),
]
