"""Every address of the shop's site."""

from django.urls import include, path

from shop.admin.site import site
from shop.views.health import healthz

urlpatterns = [
    path("", include("stages.urls.intake")),
    path("", include("stages.urls.floor")),
    path("", include("stages.urls.plan")),
    path("", include("stages.urls.clock")),
    path("", include("stages.urls.estimates")),
    path("", include("stages.urls.bills")),
    path("", include("stages.urls.thread")),
    path("", include("stages.urls.sheet")),
    path("", include("stages.urls.link")),
    path("", include("stages.urls.messages")),
    path("", include("stages.urls.labels")),
    path("", include("stages.urls.supplies")),
    path("", include("stages.urls.stores")),
    path("", include("shop.urls_people")),
    path("", include("shop.urls_app")),
    path("", include("shop.urls_api")),
    path("", include("shop.urls_sensors")),
    path("", include("shop.urls_hours")),
    path("", include("stages.urls.feeds")),
    path("admin/", site.urls),
    path("healthz", healthz, name="healthz"),
]
