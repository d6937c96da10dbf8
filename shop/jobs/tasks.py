"""The three Celery tasks; each may be lost or come twice without harm."""

from celery import shared_task
from django.utils import timezone

from shop.jobs import run as running
from shop.jobs import sweep as sweeping
from shop.jobs.enqueue import enqueue


@shared_task(name="shop.jobs.run")
def run(key: str) -> None:
    """Do one job: the hint that `enqueue` sends."""
    running.run_job(key=key)


@shared_task(name="shop.jobs.sweep")
def sweep() -> None:
    """Do what is due and was forgotten: sent by beat every two seconds."""
    sweeping.sweep()


@shared_task(name="shop.jobs.hourly")
def hourly(name: str) -> None:
    """Write down a job once for each hour: sent by beat, see CELERY_BEAT_SCHEDULE."""
    hour = timezone.now().strftime("%Y-%m-%dT%H")
    enqueue(name=name, key=f"{name}:{hour}", payload={"hour": hour})


@shared_task(name="shop.jobs.daily")
def daily(name: str) -> None:
    """Write down a job once for each day: sent by beat, see CELERY_BEAT_SCHEDULE."""
    day = timezone.localdate().isoformat()
    enqueue(name=name, key=f"{name}:{day}", payload={"day": day})
