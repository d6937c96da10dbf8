from datetime import timedelta

import pytest
from django.db import transaction
from django.utils import timezone
from kombu.exceptions import OperationalError
from pytest_django import DjangoCaptureOnCommitCallbacks

from shop.celery import app
from shop.jobs.enqueue import enqueue
from shop.jobs.registry import UnknownJobError, job
from shop.jobs.run import due
from shop.models.jobs import Job
from tests.shop.jobs.conftest import Work

pytestmark = pytest.mark.django_db


def test_a_job_is_written_down_as_it_was_asked_for(work: Work) -> None:
    enqueue(name="test.work", key="work:1", payload={"hull": 7})
    job = Job.objects.get(key="work:1")
    assert (job.name, job.payload, job.state, job.attempts) == ("test.work", {"hull": 7}, Job.State.WAITING, 0)


def test_the_same_key_twice_is_one_job_and_keeps_the_first_payload(work: Work) -> None:
    enqueue(name="test.work", key="work:1", payload={"hull": 7})
    enqueue(name="test.work", key="work:1", payload={"hull": 8})
    assert [job.payload for job in Job.objects.all()] == [{"hull": 7}]


def test_a_job_of_a_transaction_that_fails_was_never_written_down(work: Work) -> None:
    with transaction.atomic():
        enqueue(name="test.work", key="work:1", payload={})
        transaction.set_rollback(True)
    assert not Job.objects.exists()


def test_an_unknown_name_is_refused_at_once(work: Work) -> None:
    with pytest.raises(UnknownJobError, match=r"No handler is called test\.play"):
        enqueue(name="test.play", key="play:1", payload={})


def test_two_handlers_of_one_name_are_refused(work: Work) -> None:
    with pytest.raises(ValueError, match=r"Two handlers are called test\.work"):
        job("test.work")(work.handler)


def test_the_hint_is_sent_after_the_commit_and_not_before(
    work: Work, django_capture_on_commit_callbacks: DjangoCaptureOnCommitCallbacks
) -> None:
    with app.connection_for_read() as connection, connection.SimpleQueue("celery") as queue:
        queue.clear()
        with django_capture_on_commit_callbacks(execute=True):
            enqueue(name="test.work", key="work:1", payload={})
            assert queue.qsize() == 0
        assert queue.get(timeout=5).payload[0] == ["work:1"]


def test_a_broker_that_is_away_does_not_undo_the_job(
    work: Work,
    monkeypatch: pytest.MonkeyPatch,
    caplog: pytest.LogCaptureFixture,
    django_capture_on_commit_callbacks: DjangoCaptureOnCommitCallbacks,
) -> None:
    def away(*args: object, **kwargs: object) -> None:
        raise OperationalError("connection refused")

    monkeypatch.setattr(app, "send_task", away)
    with django_capture_on_commit_callbacks(execute=True):
        enqueue(name="test.work", key="work:1", payload={})
    assert Job.objects.get(key="work:1").state == Job.State.WAITING
    assert "connection refused" in caplog.text


def test_a_job_that_is_to_lie_is_not_hinted_at_and_comes_due_later(
    work: Work, django_capture_on_commit_callbacks: DjangoCaptureOnCommitCallbacks
) -> None:
    before = timezone.now()
    with django_capture_on_commit_callbacks() as callbacks:
        enqueue(name="test.work", key="work:1", payload={}, wait=timedelta(minutes=5))
    assert callbacks == []
    assert Job.objects.get().due_at >= before + timedelta(minutes=5)
    assert not due().exists()
