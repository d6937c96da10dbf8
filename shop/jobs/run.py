"""Claim one job, do it, and end it: at most one worker at a time, and one effect whatever happens."""

import logging
import traceback
from datetime import timedelta
from uuid import uuid4

from django.conf import settings
from django.db import transaction
from django.db.models import F, Q, QuerySet
from django.utils import timezone

from shop.jobs.lease import kept
from shop.jobs.registry import Payload, handler_for
from shop.models.jobs import Job

logger = logging.getLogger(__name__)

FIRST_WAIT = timedelta(seconds=5)
LONGEST_WAIT = timedelta(hours=1)


class LeaseLostError(Exception):
    """Another worker took the job over meanwhile: what this one did must not count."""


def due() -> QuerySet[Job]:
    """Select the jobs that a worker may claim now: waiting and due, or left by a worker whose lease ran out."""
    now = timezone.now()
    waiting = Q(state=Job.State.WAITING, due_at__lte=now)
    left_behind = Q(state=Job.State.CLAIMED, lease_until__lt=now)
    return Job.objects.filter(waiting | left_behind, attempts__lt=settings.JOB_ATTEMPTS)


def run_job(*, key: str) -> None:
    """Do the job with this key if it is due and nobody else has it.

    The handler's slow part runs outside any transaction, its lease renewed meanwhile. Its effect and the job's end are
    one commit, fenced by the token: a worker that stood still and lost its lease changes nothing. A failure is kept
    with the job, which is tried again later and given up after `JOB_ATTEMPTS` attempts.
    """
    job = claim(key)
    if job is None:
        return
    try:
        with kept(job):
            effect = handler_for(job.name)(job.payload)
        with transaction.atomic():
            end(job)
            effect()
    except LeaseLostError:
        logger.warning("Job %s took longer than its lease; another worker has it.", key)
    except Exception as error:
        logger.exception("Job %s failed, attempt %s.", key, job.attempts)
        put_back(job, error)


def claim(key: str) -> Job | None:
    """Take the job by one compare-and-set UPDATE; None where it is not due or another worker was first."""
    token = uuid4()
    lease_until = timezone.now() + settings.JOB_LEASE
    taken = due().filter(key=key)
    if taken.update(state=Job.State.CLAIMED, token=token, lease_until=lease_until, attempts=F("attempts") + 1):
        return Job.objects.get(token=token)
    return None


def take_up(*, name: str, key: str, payload: Payload) -> Job:
    """Write a job down that is in hand from the start: what a command does itself, and no worker beside it.

    Whoever takes it up keeps its lease (`shop.jobs.lease.kept`) and ends it; where they die, a worker does it.
    """
    handler_for(name)
    now = timezone.now()
    return Job.objects.create(
        name=name,
        key=key,
        payload=payload,
        due_at=now,
        state=Job.State.CLAIMED,
        token=uuid4(),
        lease_until=now + settings.JOB_LEASE,
        attempts=1,
    )


def end(job: Job) -> None:
    """Mark the job done, first thing in the transaction of its effect; raise `LeaseLostError` where it is not ours."""
    ours = Job.objects.filter(pk=job.pk, token=job.token, state=Job.State.CLAIMED)
    if not ours.update(state=Job.State.DONE, done_at=timezone.now(), token=None, lease_until=None, error=""):
        raise LeaseLostError


def put_back(job: Job, error: Exception) -> None:
    """Keep the error, and let the job wait longer after each attempt, or give it up after the last."""
    last = job.attempts >= settings.JOB_ATTEMPTS
    Job.objects.filter(pk=job.pk, token=job.token).update(
        state=Job.State.FAILED if last else Job.State.WAITING,
        due_at=timezone.now() + min(FIRST_WAIT * 2 ** (job.attempts - 1), LONGEST_WAIT),
        token=None,
        lease_until=None,
        error="".join(traceback.format_exception(error)),
    )
