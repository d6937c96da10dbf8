"""Addresses of the out-tray; what boats' owners choose stands with the progress link."""

from django.urls import path

from stages.views.messages import letter, letter_again, letter_as_mail, letter_take_out, letters

urlpatterns = [
    path("letters/", letters, name="letters"),
    path("letters/<int:pk>/", letter, name="letter"),
    path("letters/<int:pk>/mail/", letter_as_mail, name="letter_as_mail"),
    path("letters/<int:pk>/take-out/", letter_take_out, name="letter_take_out"),
    path("letters/<int:pk>/again/", letter_again, name="letter_again"),
]
