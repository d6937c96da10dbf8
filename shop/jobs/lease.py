"""A job stays in the hands of a worker that lives: its lease is renewed while the slow part runs."""

import logging
from collections.abc import Iterator
from contextlib import contextmanager
from datetime import timedelta
from threading import Event, Thread

from django.conf import settings
from django.db import DatabaseError, connection
from django.utils import timezone

from shop.models.jobs import Job

logger = logging.getLogger(__name__)

SHARE = 3  # of a lease: one that could not be renewed in time is tried twice more
LONGEST = timedelta(hours=1)  # a job that takes longer hangs, and is left to another worker


@contextmanager
def kept(job: Job) -> Iterator[None]:
    """Keep a job that was claimed, from a thread of its own, until what is done with it is over."""
    over = Event()
    keeper = Thread(target=_keep, args=(job, over), name=f"lease of {job.key}", daemon=True)
    keeper.start()
    try:
        yield
    finally:
        over.set()
        keeper.join()


def _keep(job: Job, over: Event) -> None:
    each = settings.JOB_LEASE / SHARE
    try:
        for _ in range(LONGEST // each):
            if over.wait(each.total_seconds()):
                return
            try:
                renew(job)
            except DatabaseError as error:
                logger.warning("The lease of job %s could not be renewed: %s", job.key, error)
    finally:
        connection.close()  # a thread has one of its own


def renew(job: Job) -> None:
    """Begin a job's lease anew; one that another worker took over meanwhile stays theirs."""
    ours = Job.objects.filter(pk=job.pk, token=job.token, state=Job.State.CLAIMED)
    ours.update(lease_until=timezone.now() + settings.JOB_LEASE)
