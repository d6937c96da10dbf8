"""Addresses of the labels: choosing and printing them, and the short ones that their codes hold."""

from django.urls import path

from stages.views.tags import short, tags, tags_pdf, tags_print

urlpatterns = [
    path("tags/", tags, name="tags"),
    path("tags/print/", tags_print, name="tags_print"),
    path("tags/pdf/", tags_pdf, name="tags_pdf"),
    path("t/h<int:pk>/", short, {"kind": "h"}, name="short_hull"),
    path("t/c<int:pk>/", short, {"kind": "c"}, name="short_can"),
]
