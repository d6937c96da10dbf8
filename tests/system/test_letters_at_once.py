"""Two processes send letters with the same page's token at once: one is kept, and a flood is counted by both."""

import json
import time

from stages.services.enquiries import FROM_ONE
from tests.system.at_once import begin, manage, run, said

WARM_S = 4.0
LETTERS = FROM_ONE + 6
ADDRESS = "203.0.113.7"  # RFC 5737: for documentation
COUNT = "from hulls.models import Enquiry; print(Enquiry.objects.count())"


def test_on_sqlite_a_token_is_good_for_one_letter_and_a_flood_is_held_off(on_sqlite: dict[str, str]) -> None:
    check_letters(on_sqlite)


def test_on_postgres_a_token_is_good_for_one_letter_and_a_flood_is_held_off(on_postgres: dict[str, str]) -> None:
    check_letters(on_postgres)


def check_letters(settings: dict[str, str]) -> None:
    """Let two processes send the same tokens at the same moments, from one address."""
    manage(settings, "migrate", "-v0")
    at = str(time.time() + WARM_S)
    writers = [begin(settings, "-m", "tests.system.writers", at, str(LETTERS), ADDRESS) for _ in range(2)]
    told = [json.loads(said(writer)) for writer in writers]
    for number, (one, other) in enumerate(zip(*told, strict=True)):
        if number < FROM_ONE:
            assert one["enquiry"] == other["enquiry"] is not None
            assert one["repeated"] is not other["repeated"]
        else:
            assert one["refused"] is other["refused"] is True
    assert run(settings, "-c", f"import django; django.setup(); {COUNT}").strip() == str(FROM_ONE)
