"""Two people hand the same boats over at once, from two processes: each boat goes home once, to one of them."""

from tests.system.at_once import play

BOATS = 6


def test_on_sqlite_each_boat_goes_home_once(on_sqlite: dict[str, str]) -> None:
    check_each_goes_home_once(on_sqlite)


def test_on_postgres_each_boat_goes_home_once(on_postgres: dict[str, str]) -> None:
    check_each_goes_home_once(on_postgres)


def check_each_goes_home_once(settings: dict[str, str]) -> None:
    """Let two processes hand over at the same moments; the other one is told, and nothing is written twice."""
    found = play(settings, "handers", BOATS)
    for one, other in zip(*found.told, strict=True):
        assert sorted((one["new"], other["new"])) == [False, True]
        assert (other if one["new"] else one)["other"]
    assert found.left == [BOATS, 2 * BOATS]
    assert "the tables equal the log" in found.audit
