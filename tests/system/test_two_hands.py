"""Two people finish the same step at once, from two processes: one entry, and the other sees what happened."""

from tests.system.at_once import play

HULLS = 12


def test_on_sqlite_one_of_two_finishes_and_the_other_is_told(on_sqlite: dict[str, str]) -> None:
    check_one_of_two_finishes(on_sqlite)


def test_on_postgres_one_of_two_finishes_and_the_other_is_told(on_postgres: dict[str, str]) -> None:
    check_one_of_two_finishes(on_postgres)


def check_one_of_two_finishes(settings: dict[str, str]) -> None:
    """Let two processes finish the same steps at the same moments; exactly one of them does, the other names it."""
    found = play(settings, "hands", HULLS)
    for of_ada, of_ben in zip(*found.told, strict=True):
        assert of_ada["done"] is not of_ben["done"]
        assert of_ada["by"] == (None if of_ada["done"] else "ben")
        assert of_ben["by"] == (None if of_ben["done"] else "ada")
    assert found.left == HULLS
    assert "the tables equal the log" in found.audit
