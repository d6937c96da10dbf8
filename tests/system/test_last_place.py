"""Two hulls are moved to the last place of a station at once, from two processes: one stands there, one is refused."""

from tests.system.at_once import play

RAILS = 16


def test_on_sqlite_one_of_two_gets_the_last_place(on_sqlite: dict[str, str]) -> None:
    check_one_of_two_gets_it(on_sqlite)


def test_on_postgres_one_of_two_gets_the_last_place(on_postgres: dict[str, str]) -> None:
    check_one_of_two_gets_it(on_postgres)


def check_one_of_two_gets_it(settings: dict[str, str]) -> None:
    """Let two processes move their hulls to the same rails at the same moments."""
    found = play(settings, "movers", RAILS)
    for of_ada, of_ben in zip(*found.told, strict=True):
        assert of_ada["done"] is not of_ben["done"]
        assert (of_ben if of_ada["done"] else of_ada)["rules"] == ["place"]
    assert found.left == [1] * RAILS
    assert "the tables equal the log" in found.audit
