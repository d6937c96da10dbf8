"""The address at which hulls come in from a spreadsheet."""

from django.urls import path

from stages.views.intake import import_page

urlpatterns = [
    path("hulls/import/", import_page, name="import_hulls"),
]
