"""Addresses of money that comes in: a hull's account, its invoices, and the books."""

from django.urls import path

from stages.urls import tags as tags  # it registers the converter
from stages.views.bills import bill, payment, payment_strike
from stages.views.books import book, books
from stages.views.invoices import invoice, invoice_draft, invoice_pdf

urlpatterns = [
    path("books/", books, name="books"),
    path("books/<slug:which>.csv", book, name="book"),
    path("hulls/<tag:tag>/bill/", bill, name="bill"),
    path("hulls/<tag:tag>/bill/payment/", payment, name="payment"),
    path("hulls/<tag:tag>/bill/payments/<int:pk>/strike/", payment_strike, name="payment_strike"),
    path("hulls/<tag:tag>/bill/invoice/", invoice_draft, name="invoice_draft"),
    path("hulls/<tag:tag>/bill/invoices/<int:pk>/", invoice, name="invoice"),
    path("hulls/<tag:tag>/bill/invoices/<int:pk>/pdf/", invoice_pdf, name="invoice_pdf"),
]
