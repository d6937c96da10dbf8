"""Run as a process of its own: somebody who sends the same letters to the shop as another process, at once.

`python -m tests.system.writers AT COUNT ADDRESS` waits for the moment AT (seconds since 1970), sends a letter each
moment, and prints what became of each.
"""

import json
import sys
import time

import django

APART_S = 0.1


def write(at: float, count: int, address: str) -> list[dict[str, object]]:
    """Send letters whose page tokens somebody else sends too, each at its moment."""
    from django.db import connection
    from django.utils import timezone

    from stages.services.enquiries import receive_enquiry
    from tests.stages.enquiring import a_letter

    connection.ensure_connection()
    told: list[dict[str, object]] = []
    for number in range(count):
        letter = a_letter(token=f"page-{number}", address=address)
        time.sleep(max(0.0, at + APART_S * number - time.time()))
        received = receive_enquiry(letter=letter, now=timezone.now())
        told.append(
            {
                "enquiry": received.enquiry.pk if received.enquiry else None,
                "repeated": received.repeated,
                "refused": received.retry_at is not None,
            }
        )
    return told


if __name__ == "__main__":
    django.setup()
    match sys.argv[1:]:
        case [at, count, address]:
            print(json.dumps(write(float(at), int(count), address)))
