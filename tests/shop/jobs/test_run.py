import threading
from datetime import UTC, datetime, timedelta

import pytest
import time_machine
from django.conf import settings
from django.db import connection
from django.test import override_settings
from django.utils import timezone

from shop.jobs.enqueue import enqueue
from shop.jobs.lease import renew
from shop.jobs.registry import Effect, Payload, job
from shop.jobs.run import claim, run_job
from shop.models.jobs import Job
from tests.fixtures.processes import wait_for
from tests.shop.jobs.conftest import Work

pytestmark = pytest.mark.django_db

MORNING = datetime(2026, 3, 2, 8, 0, tzinfo=UTC)


def written_down(name: str = "test.work") -> Job:
    """Write one job down."""
    enqueue(name=name, key="work:1", payload={"hull": 7})
    return Job.objects.get(key="work:1")


def test_a_job_is_done_once_however_often_it_is_hinted_at(work: Work) -> None:
    job = written_down()
    run_job(key="work:1")
    run_job(key="work:1")
    job.refresh_from_db()
    assert work.counted == [{"hull": 7}]
    assert (job.state, job.attempts, job.token, job.lease_until) == (Job.State.DONE, 1, None, None)
    assert job.done_at is not None


def test_a_hint_at_nothing_does_nothing(work: Work) -> None:
    run_job(key="work:none")
    assert work.begun == []


def test_a_job_in_hand_is_left_to_who_has_it(work: Work) -> None:
    written_down()
    assert claim("work:1") is not None
    assert claim("work:1") is None


def test_a_job_whose_lease_ran_out_is_taken_over(work: Work) -> None:
    with time_machine.travel(MORNING, tick=False) as clock:
        written_down()
        claim("work:1")
        clock.shift(settings.JOB_LEASE)
        assert claim("work:1") is None, "the lease holds to its last moment"
        clock.shift(timedelta(milliseconds=1))
        taken = claim("work:1")
    assert taken is not None
    assert taken.attempts == 2


def test_a_worker_that_lost_its_lease_changes_nothing(work: Work, caplog: pytest.LogCaptureFixture) -> None:
    counted: list[str] = []

    @job("test.slow")
    def slow(payload: Payload) -> Effect:
        with time_machine.travel(timezone.now() + settings.JOB_LEASE + timedelta(seconds=1), tick=False):
            if not counted:
                counted.append("the second worker took it over")
                run_job(key="work:1")
        return lambda: counted.append("counts")

    written_down("test.slow")
    run_job(key="work:1")
    assert counted == ["the second worker took it over", "counts"]
    assert Job.objects.get().attempts == 2
    assert "took longer than its lease" in caplog.text


def test_a_job_that_outlasts_its_lease_is_kept_while_its_worker_lives(work: Work, transactional_db: None) -> None:
    lease = timedelta(seconds=1)
    taken: list[Job | None] = []

    @job("test.long")
    def long(payload: Payload) -> Effect:
        begun = timezone.now()
        renewed = Job.objects.filter(lease_until__gt=begun + 2 * lease)
        wait_for("the lease was renewed more than once", renewed.exists)
        with time_machine.travel(begun + lease + timedelta(milliseconds=1), tick=False):
            taken.append(claim("work:1"))
        return lambda: None

    with override_settings(JOB_LEASE=lease):
        written_down("test.long")
        run_job(key="work:1")
    assert taken == [None]
    done = Job.objects.get()
    assert (done.state, done.attempts) == (Job.State.DONE, 1)
    assert "lease of work:1" not in [thread.name for thread in threading.enumerate()]


def test_a_lease_that_another_worker_has_is_not_renewed(work: Work) -> None:
    with time_machine.travel(MORNING, tick=False) as clock:
        written_down()
        slow = claim("work:1")
        clock.shift(settings.JOB_LEASE + timedelta(seconds=1))
        theirs = claim("work:1")
        clock.shift(timedelta(seconds=1))
        assert slow is not None
        assert theirs is not None
        renew(slow)
        assert Job.objects.get().lease_until == theirs.lease_until
        renew(theirs)
        assert Job.objects.get().lease_until == timezone.now() + settings.JOB_LEASE


def test_the_slow_part_runs_outside_and_the_effect_inside_a_transaction(work: Work, transactional_db: None) -> None:
    inside: list[bool] = []

    @job("test.looks")
    def looks(payload: Payload) -> Effect:
        inside.append(connection.in_atomic_block)
        return lambda: inside.append(connection.in_atomic_block)

    written_down("test.looks")
    run_job(key="work:1")
    assert inside == [False, True]


def test_an_effect_that_fails_leaves_nothing_and_the_job_is_tried_again(work: Work, transactional_db: None) -> None:
    @job("test.half")
    def half(payload: Payload) -> Effect:
        def effect() -> None:
            Job.objects.create(key="half", name="half", due_at=timezone.now())
            raise ZeroDivisionError

        return effect

    written_down("test.half")
    run_job(key="work:1")
    assert [(job.key, job.state) for job in Job.objects.all()] == [("work:1", Job.State.WAITING)]


def test_a_failed_attempt_keeps_its_error_and_waits_longer_each_time(work: Work) -> None:
    work.fails_with = ZeroDivisionError("no paint in the pot")
    waits = []
    with time_machine.travel(MORNING, tick=False) as clock:
        job = written_down()
        for _ in range(3):
            run_job(key="work:1")
            run_job(key="work:1")
            job.refresh_from_db()
            waits.append((job.due_at - timezone.now()).total_seconds())
            clock.move_to(job.due_at)
    assert waits == [5, 10, 20]
    assert len(work.begun) == 3, "before its time it is not tried again"
    assert "ZeroDivisionError: no paint in the pot" in job.error
    assert job.state == Job.State.WAITING


def test_a_job_is_given_up_after_its_last_attempt_with_the_error_kept(work: Work) -> None:
    work.fails_with = ZeroDivisionError("no paint in the pot")
    with time_machine.travel(MORNING, tick=False) as clock:
        job = written_down()
        for _ in range(settings.JOB_ATTEMPTS + 1):
            run_job(key="work:1")
            clock.shift(timedelta(days=1))
    job.refresh_from_db()
    assert len(work.begun) == settings.JOB_ATTEMPTS
    assert job.state == Job.State.FAILED
    assert "no paint in the pot" in job.error


def test_a_job_that_works_at_last_forgets_its_error(work: Work) -> None:
    work.fails_with = ZeroDivisionError("no paint in the pot")
    with time_machine.travel(MORNING, tick=False) as clock:
        job = written_down()
        run_job(key="work:1")
        work.fails_with = None
        clock.shift(timedelta(hours=1))
        run_job(key="work:1")
    job.refresh_from_db()
    assert (job.state, job.error, work.counted) == (Job.State.DONE, "", [{"hull": 7}])
