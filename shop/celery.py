"""The Celery app: the same on a laptop's file-system broker and on Redis."""

import os

from celery import Celery

os.environ.setdefault("DJANGO_SETTINGS_MODULE", "shop.settings")

app = Celery("ribband")
app.config_from_object("django.conf:settings", namespace="CELERY")
app.autodiscover_tasks(["shop.jobs"], related_name="tasks")
