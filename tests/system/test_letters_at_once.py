"""Two processes send letters with the same page's token at once: one is kept, and a flood is counted by both."""

from stages.services.enquiries import FROM_ONE
from tests.system.at_once import play

LETTERS = FROM_ONE + 6


def test_on_sqlite_a_token_is_good_for_one_letter_and_a_flood_is_held_off(on_sqlite: dict[str, str]) -> None:
    check_letters(on_sqlite)


def test_on_postgres_a_token_is_good_for_one_letter_and_a_flood_is_held_off(on_postgres: dict[str, str]) -> None:
    check_letters(on_postgres)


def check_letters(settings: dict[str, str]) -> None:
    """Let two processes send the same tokens at the same moments, from one address."""
    found = play(settings, "writers", LETTERS)
    for number, (one, other) in enumerate(zip(*found.told, strict=True)):
        if number < FROM_ONE:
            assert one["enquiry"] == other["enquiry"] is not None
            assert one["repeated"] is not other["repeated"]
        else:
            assert one["refused"] is other["refused"] is True
    assert found.left == FROM_ONE
