"""Two processes post the same readings at once, while a third keeps the air: each reading is there once."""

from tests.system.at_once import play
from tests.system.senders import EACH, SENDERS

BATCHES = 20
MOMENTS = (BATCHES - 1) * EACH // 2 + EACH
ZONES = 2


def test_on_sqlite_each_reading_is_there_once(on_sqlite: dict[str, str]) -> None:
    check_each_is_there_once(on_sqlite)


def test_on_postgres_each_reading_is_there_once(on_postgres: dict[str, str]) -> None:
    check_each_is_there_once(on_postgres)


def check_each_is_there_once(settings: dict[str, str]) -> None:
    """Let two processes send the same, and a third one read on; nothing is lost, doubled, refused, or unseen."""
    found = play(settings, "senders", BATCHES)
    *told, air_is_the_table = found.told
    assert air_is_the_table is True
    assert [one["failed"] for one in told] == [0, 0]
    of_both_zones, of_the_yard = ZONES * MOMENTS, MOMENTS  # air in both, rain in the yard; the loft's rain is refused
    assert sum(one["recorded"] for one in told) == of_both_zones + of_the_yard
    assert sum(one["recorded"] + one["repeated"] for one in told) == 2 * 3 * BATCHES * EACH
    assert found.left == [of_both_zones, of_the_yard, of_both_zones, len(SENDERS) * ZONES * BATCHES]
