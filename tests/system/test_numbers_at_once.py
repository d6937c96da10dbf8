"""Two people send estimates at once, from two processes: every number is given once, and none is left out."""

from tests.system.at_once import play

DRAFTS = 10


def test_on_sqlite_numbers_sent_at_once_have_no_gaps(on_sqlite: dict[str, str]) -> None:
    check_numbers(on_sqlite)


def test_on_postgres_numbers_sent_at_once_have_no_gaps(on_postgres: dict[str, str]) -> None:
    check_numbers(on_postgres)


def check_numbers(settings: dict[str, str]) -> None:
    """Let two processes send at the same moments."""
    found = play(settings, "quoters", DRAFTS)
    labels = [label for sent in found.told for label in sent]
    assert sorted(labels) == sorted(f"E-{number}" for number in range(1, 2 * DRAFTS + 1))
    assert found.left == 2 * DRAFTS
    assert "the tables equal the log" in found.audit
