"""What beat does every two seconds: find the jobs whose hint was lost or whose worker died."""

from django.conf import settings
from django.utils import timezone

from shop.jobs.run import due, run_job
from shop.models.jobs import Job

AT_ONCE = 20


def sweep() -> None:
    """Give up the jobs that took their last worker down, then do what is due, oldest first, a few at a time.

    The sweep does the jobs itself: hinting again every two seconds would fill the broker behind a slow job.
    """
    Job.objects.filter(
        state=Job.State.CLAIMED, lease_until__lt=timezone.now(), attempts__gte=settings.JOB_ATTEMPTS
    ).update(state=Job.State.FAILED, token=None, error="The worker died or ran out of time at each attempt.")
    for key in due().order_by("due_at").values_list("key", flat=True)[:AT_ONCE]:
        run_job(key=key)
