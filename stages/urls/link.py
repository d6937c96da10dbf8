"""Addresses of the boat owner's progress page, and of the rule book."""

from django.urls import path, re_path

from stages.views.agreeing import agreement_pdf, answer, owner_invoice
from stages.views.finish_records import shared_paper, shared_record, shared_record_pdf
from stages.views.owner_words import ask, choose_the_colour, collect
from stages.views.progress import progress, shared_photo_file, shared_time_lapse_file, unknown
from stages.views.rules import rule_book
from stages.views.wishes import choose, language, stop

urlpatterns = [
    path("rules/", rule_book, name="rule_book"),
    path("p/<str:token>/", progress, name="progress"),
    path("p/<str:token>", progress),  # the last stroke gets lost in e-mails
    path("p/<str:token>/photo/<int:pk>/<slug:size>/", shared_photo_file, name="shared_photo"),
    path("p/<str:token>/time-lapse/", shared_time_lapse_file, name="shared_time_lapse"),
    path("p/<str:token>/answer/", answer, name="answer"),
    path("p/<str:token>/agreement/<int:pk>/", agreement_pdf, name="agreement_pdf"),
    path("p/<str:token>/ask/", ask, name="ask_shop"),
    path("p/<str:token>/collect/", collect, name="collect"),
    path("p/<str:token>/colour/", choose_the_colour, name="choose_colour"),
    path("p/<str:token>/letters/", choose, name="choose_letters"),
    path("p/<str:token>/language/", language, name="choose_language"),
    path("stop/<str:token>/", stop, name="stop_letters"),
    path("p/<str:token>/invoice/<int:pk>/", owner_invoice, name="owner_invoice"),
    path("p/<str:token>/finish-record/", shared_record, name="shared_record"),
    path("p/<str:token>/finish-record/paper/", shared_paper, name="shared_paper"),
    path("p/<str:token>/finish-record/pdf/", shared_record_pdf, name="shared_record_pdf"),
    re_path(r"^p(?:/|$)", unknown, name="progress_unknown"),
]
