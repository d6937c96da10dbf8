"""Addresses of the hulls: their list, taking one in, one hull's sheet with its acts, and its photos."""

from django.urls import path

from stages.urls import tags as tags  # it registers the converter
from stages.views.acts import act
from stages.views.body_plan import body_plan_svg
from stages.views.coats import coat_clock
from stages.views.finish_records import finish_record, finish_record_pdf
from stages.views.hand_over import hand_over_page, hand_over_payment, hand_over_photo
from stages.views.hull_supplies import hull_supplies_page
from stages.views.hulls import change, hulls, take_in_page
from stages.views.lines import lines
from stages.views.photos import hull_photo, hull_photos, photo, photo_change, time_lapse
from stages.views.sheet import sheet, sheet_part

urlpatterns = [
    path("hulls/", hulls, name="hulls"),
    path("hulls/new/", take_in_page, name="take_in"),
    path("hulls/<tag:tag>/do/<slug:action>/", act, name="act"),
    path("hulls/<tag:tag>/part/", sheet_part, name="sheet_part"),
    path("hulls/<tag:tag>/coats/<int:line>/", coat_clock, name="coat_clock"),
    path("hulls/<tag:tag>/photos/", hull_photos, name="hull_photos"),
    path("hulls/<tag:tag>/photos/time-lapse/", time_lapse, name="time_lapse"),
    path("hulls/<tag:tag>/photos/<int:pk>/", hull_photo, name="hull_photo"),
    path("hulls/<tag:tag>/photos/<int:pk>/change/", photo_change, name="photo_change"),
    path("hulls/<tag:tag>/lines/", lines, name="lines"),
    path("hulls/<tag:tag>/lines/body-plan.svg", body_plan_svg, name="body_plan"),
    path("hulls/<tag:tag>/supplies/", hull_supplies_page, name="hull_supplies"),
    path("hulls/<tag:tag>/finish-record/", finish_record, name="finish_record"),
    path("hulls/<tag:tag>/finish-record/pdf/", finish_record_pdf, name="finish_record_pdf"),
    path("hulls/<tag:tag>/hand-over/", hand_over_page, name="hand_over"),
    path("hulls/<tag:tag>/hand-over/photo/", hand_over_photo, name="hand_over_photo"),
    path("hulls/<tag:tag>/hand-over/payment/", hand_over_payment, name="hand_over_payment"),
    path("hulls/<tag:tag>/change/", change, name="hull_change"),
    path("hulls/<tag:tag>/", sheet, name="sheet"),
    path("photos/<int:pk>/<slug:size>/", photo, name="photo"),
]
