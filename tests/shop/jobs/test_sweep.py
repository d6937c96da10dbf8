from datetime import UTC, datetime, timedelta

import pytest
import time_machine
from django.conf import settings

from shop.jobs import sweep as sweeping
from shop.jobs.enqueue import enqueue
from shop.jobs.run import claim
from shop.jobs.sweep import sweep
from shop.jobs.tasks import daily, hourly
from shop.models.jobs import Job
from tests.shop.jobs.conftest import Work

pytestmark = pytest.mark.django_db

MORNING = datetime(2026, 3, 2, 8, 0, tzinfo=UTC)


def test_a_sweep_does_the_jobs_whose_hint_was_lost(work: Work) -> None:
    for number in range(3):
        enqueue(name="test.work", key=f"work:{number}", payload={"number": number})
    sweep()
    assert work.counted == [{"number": 0}, {"number": 1}, {"number": 2}]


def test_a_sweep_takes_a_few_at_a_time(work: Work) -> None:
    for number in range(sweeping.AT_ONCE + 1):
        enqueue(name="test.work", key=f"work:{number}", payload={"number": number})
    sweep()
    assert len(work.counted) == sweeping.AT_ONCE
    sweep()
    assert len(work.counted) == sweeping.AT_ONCE + 1


def test_a_sweep_leaves_alone_what_is_not_due_and_what_is_in_hand(work: Work) -> None:
    with time_machine.travel(MORNING, tick=False):
        enqueue(name="test.work", key="in hand", payload={})
        claim("in hand")
        enqueue(name="test.work", key="later", payload={})
        Job.objects.filter(key="later").update(due_at=MORNING + timedelta(milliseconds=1))
        sweep()
    assert work.begun == []


def test_a_sweep_gives_up_a_job_that_took_down_its_worker_each_time(work: Work) -> None:
    with time_machine.travel(MORNING, tick=False) as clock:
        enqueue(name="test.work", key="work:1", payload={})
        for _ in range(settings.JOB_ATTEMPTS):
            assert claim("work:1") is not None
            clock.shift(settings.JOB_LEASE + timedelta(seconds=1))
        sweep()
    job = Job.objects.get()
    assert job.state == Job.State.FAILED
    assert "The worker died" in job.error
    assert work.begun == []


def test_a_daily_job_is_written_down_once_a_day_in_the_days_of_the_place(work: Work) -> None:
    with time_machine.travel(MORNING, tick=False) as clock:
        daily("test.work")
        daily("test.work")
        clock.shift(timedelta(days=1))
        daily("test.work")
    assert sorted(Job.objects.values_list("key", flat=True)) == ["test.work:2026-03-02", "test.work:2026-03-03"]


def test_beat_sends_tasks_that_exist() -> None:
    from shop.celery import app

    app.loader.import_default_modules()
    assert {entry["task"] for entry in settings.CELERY_BEAT_SCHEDULE.values()} <= set(app.tasks)


def test_an_hourly_job_is_written_down_once_an_hour(work: Work) -> None:
    with time_machine.travel(MORNING, tick=False) as clock:
        hourly("test.work")
        hourly("test.work")
        clock.shift(timedelta(hours=1))
        hourly("test.work")
    assert sorted(Job.objects.values_list("key", flat=True)) == ["test.work:2026-03-02T08", "test.work:2026-03-02T09"]
