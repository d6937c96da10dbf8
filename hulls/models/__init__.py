"""The boats' tables."""

from hulls.models.bills import Invoice, InvoiceKind, PaidBy, Payment, PaymentKind
from hulls.models.colour_asks import ColourAsk
from hulls.models.enquiries import Enquiry, EnquiryState
from hulls.models.estimates import Answer, Estimate, EstimateKind
from hulls.models.finish_records import FinishRecord
from hulls.models.hulls import Filler, Hull, InsideVarnish, Priority
from hulls.models.lines import HullKind, LinesKind, LinesRecord
from hulls.models.links import ProgressLink, Wish
from hulls.models.messages import Message, MessageKind, MessageState
from hulls.models.owners import Owner
from hulls.models.photos import Photo, PhotoState, TimeLapse, View
from hulls.models.remarks import Remark

__all__ = [
    "Answer",
    "ColourAsk",
    "Enquiry",
    "EnquiryState",
    "Estimate",
    "EstimateKind",
    "Filler",
    "FinishRecord",
    "Hull",
    "HullKind",
    "InsideVarnish",
    "Invoice",
    "InvoiceKind",
    "LinesKind",
    "LinesRecord",
    "Message",
    "MessageKind",
    "MessageState",
    "Owner",
    "PaidBy",
    "Payment",
    "PaymentKind",
    "Photo",
    "PhotoState",
    "Priority",
    "ProgressLink",
    "Remark",
    "TimeLapse",
    "View",
    "Wish",
]
