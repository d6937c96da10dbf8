"""Run as a process of its own: two send COUNT letters to the shop at once, each with the page token of the other's."""

from tests.system.script import Together, play

ADDRESS = "203.0.113.7"  # RFC 5737: for documentation


def write(name: str, count: int, together: Together) -> list[dict[str, object]]:
    """Send every letter, each at its moment, from one address."""
    from django.db import connection
    from django.utils import timezone

    from stages.services.enquiries import receive_enquiry
    from tests.stages.enquiring import a_letter

    connection.ensure_connection()
    letters = [a_letter(token=f"page-{number}", address=ADDRESS) for number in range(count)]
    told: list[dict[str, object]] = []
    for letter in together.in_turn(letters):
        received = receive_enquiry(letter=letter, now=timezone.now())
        told.append(
            {
                "enquiry": received.enquiry.pk if received.enquiry else None,
                "repeated": received.repeated,
                "refused": received.retry_at is not None,
            }
        )
    return told


def left() -> int:
    """How many letters were kept."""
    from hulls.models import Enquiry

    return Enquiry.objects.count()


if __name__ == "__main__":
    play(act=write, left=left)
