"""Addresses of the supplies page, and of what the shop does with the enquiries that come by it."""

from django.urls import path

from stages.views.enquiries import close, enquiries, into_hull
from stages.views.supplies import supplies_enquiry, supplies_language, supplies_page, supplies_pdf, supplies_sent

urlpatterns = [
    path("supplies/", supplies_page, name="supplies"),
    path("supplies/a4.pdf", supplies_pdf, {"paper": "A4"}, name="supplies_a4"),
    path("supplies/letter.pdf", supplies_pdf, {"paper": "letter"}, name="supplies_letter"),
    path("supplies/enquiry/", supplies_enquiry, name="supplies_enquiry"),
    path("supplies/language/", supplies_language, name="supplies_language"),
    path("supplies/sent/", supplies_sent, name="supplies_sent"),
    path("enquiries/", enquiries, name="enquiries"),
    path("enquiries/<int:pk>/close/", close, name="enquiry_close"),
    path("enquiries/<int:pk>/hull/", into_hull, name="enquiry_hull"),
]
