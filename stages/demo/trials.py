"""The demo shop's crew tried some of its coats: dry before they were sanded, some still tacky the morning after."""

from datetime import timedelta

from stages.demo.driver import Driver
from stages.demo.hours import next_open
from stages.models import CoatOn
from stages.services.dryness import record_dryness

DAY = timedelta(hours=20)  # after which nobody of this shop found one tacky
EVERY = 2  # coat that was sanded is one that somebody wrote about
BEFORE = timedelta(minutes=5)
NIGHT = timedelta(hours=10)  # at least, from a coat to the next morning's look at it


def try_coats(driver: Driver) -> None:
    """Write down what was found at some of the coats that were sanded, in hulls that are still there."""
    sanded = CoatOn.objects.filter(sanded_at__isnull=False, work__handed_over_at__isnull=True).order_by("at", "pk")
    for number, coat in enumerate(sanded[::EVERY]):
        assert coat.sanded_at is not None
        dry, morning = coat.sanded_at - BEFORE, next_open(coat.at + NIGHT, driver.tz)
        tacky = number % 2 == 0 and morning < dry and morning - coat.at < DAY
        record_dryness(
            hull_id=coat.work_id,
            surface=coat.surface,
            seen="tacky" if tacky else "dry",
            hand=driver.hand(morning if tacky else dry),
        )
