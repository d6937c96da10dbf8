"""Print what became of the jobs, as JSON."""

import json
from collections import Counter

from django.core.management.base import BaseCommand

from shop.models.jobs import Job
from tests.system.effects.models import Effect


class Command(BaseCommand):
    """Print each job's state, attempts, error and number of effects."""

    def handle(self, **options: object) -> None:
        """Print one object, by key."""
        effects: Counter[str] = Counter(Effect.objects.values_list("key", flat=True))
        jobs = {
            job.key: {"state": job.state, "attempts": job.attempts, "effects": effects[job.key], "error": job.error}
            for job in Job.objects.all()
        }
        self.stdout.write(json.dumps({"jobs": jobs, "effects": sum(effects.values())}))
