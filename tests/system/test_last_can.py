"""Two people pour out of the last can at once, from two processes: one coat is on record, the other is refused."""

from tests.system.at_once import play

CANS = 16


def test_on_sqlite_one_of_two_gets_the_last_can(on_sqlite: dict[str, str]) -> None:
    check_one_of_two_gets_it(on_sqlite)


def test_on_postgres_one_of_two_gets_the_last_can(on_postgres: dict[str, str]) -> None:
    check_one_of_two_gets_it(on_postgres)


def check_one_of_two_gets_it(settings: dict[str, str]) -> None:
    """Let two processes put on a coat out of the same cans at the same moments."""
    found = play(settings, "painters", CANS)
    for of_ada, of_ben in zip(*found.told, strict=True):
        assert of_ada["done"] is not of_ben["done"], (of_ada, of_ben)
        assert (of_ben if of_ada["done"] else of_ada)["rules"] == ["stores"]
    assert found.left == [["0.000"], CANS]
    assert "the tables equal the log" in found.audit
