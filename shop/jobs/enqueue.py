"""Write a job down, and hint at it once it is sure."""

import logging
from datetime import timedelta

from django.db import transaction
from django.utils import timezone
from kombu.exceptions import OperationalError

from shop.celery import app
from shop.jobs.registry import Payload, handler_for
from shop.models.jobs import Job

logger = logging.getLogger(__name__)


AT_ONCE = timedelta()


def enqueue(*, name: str, key: str, payload: Payload, wait: timedelta = AT_ONCE) -> None:
    """Write a job down inside the caller's transaction and hint at it on commit.

    Rolled back with the rest if the transaction fails. The same key twice is one job, whatever became of the first.

    Parameters
    ----------
    name
        A registered handler's name; an unknown one raises `UnknownJobError` here, not later in a worker.
    key
        Says which piece of work this is, such as `photo.thumbnails:17`.
    payload
        What the handler needs to know, as JSON.
    wait
        How long it is to lie; the sweep then finds it.
    """
    handler_for(name)
    due_at = timezone.now() + wait
    Job.objects.bulk_create([Job(name=name, key=key, payload=payload, due_at=due_at)], ignore_conflicts=True)
    if not wait:
        transaction.on_commit(lambda: hint(key), robust=True)


def hint(key: str) -> None:
    """Tell the workers that a job may be due; where the broker is away, the sweep finds the job later."""
    try:
        app.send_task("shop.jobs.run", [key], retry=False)
    except (OSError, OperationalError) as error:
        logger.warning("No broker to tell of job %s (%s); the sweep finds it.", key, error)
