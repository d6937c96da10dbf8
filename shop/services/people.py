"""What people do with their own log-ins."""

from axes.utils import reset
from django.db.models import F

from shop.models import CrewMember, Role

OWNER_STAYS_D, CREW_STAYS_D, SCREEN_STAYS_D = 14, 30, 365
STAYS_D = {Role.OWNER: OWNER_STAYS_D, Role.CREW: CREW_STAYS_D, Role.LOOK: SCREEN_STAYS_D}


def session_s(person: CrewMember) -> int:
    """How long a log-in lasts: the shop's owner may do most, so for a shorter time; a screen on the wall, a year.

    Returns
    -------
    int
        Seconds from the log-in on.
    """
    return STAYS_D[Role(person.role)] * 24 * 3600


def log_out_everywhere(*, person: CrewMember) -> CrewMember:
    """Raise the log-in round, by which every session of a person ends; read the person anew to log one in again."""
    CrewMember.objects.filter(pk=person.pk).update(log_in_round=F("log_in_round") + 1)
    person.refresh_from_db()
    return person


def unlock(*, person: CrewMember) -> int:
    """Forget the failed log-ins of a person who was locked out; return how many there were."""
    return int(reset(username=person.username))
