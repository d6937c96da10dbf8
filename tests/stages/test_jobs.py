"""What is done on hulls every night."""

from typing import Any

import pytest
from django.conf import settings

from shop.jobs.registry import handler_for
from stages.jobs import AuditError, audit
from stages.models import HullWork
from tests.factories import a_hull, a_shop

pytestmark = pytest.mark.django_db


def test_the_audit_of_a_sound_log_ends_well() -> None:
    a_shop()
    a_hull()
    audit({"day": "2031-05-05"})()


def test_the_audit_of_a_changed_table_fails_and_names_the_difference() -> None:
    a_shop()
    hull = a_hull()
    HullWork.objects.filter(hull=hull).update(lines=7)
    with pytest.raises(AuditError, match="number of lines"):
        audit({"day": "2031-05-05"})


def test_every_daily_job_of_the_clock_has_a_handler() -> None:
    schedule: dict[str, dict[str, Any]] = settings.CELERY_BEAT_SCHEDULE
    daily = [entry["args"][0] for entry in schedule.values() if entry["task"] == "shop.jobs.daily"]
    assert daily
    for name in daily:
        assert callable(handler_for(name))
