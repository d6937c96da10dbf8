"""Two people pour out of the last can at once, from two processes: one coat is on record, the other is refused."""

import json
import time

from tests.system.at_once import begin, manage, run, said

CANS = 16
WARM_S = 4.0


def test_on_sqlite_one_of_two_gets_the_last_can(on_sqlite: dict[str, str]) -> None:
    check_one_of_two_gets_it(on_sqlite)


def test_on_postgres_one_of_two_gets_the_last_can(on_postgres: dict[str, str]) -> None:
    check_one_of_two_gets_it(on_postgres)


def check_one_of_two_gets_it(settings: dict[str, str]) -> None:
    """Let two processes put on a coat out of the same cans at the same moments."""
    manage(settings, "migrate", "-v0")
    run(settings, "-m", "tests.system.painters", "prepare", str(CANS))
    at = str(time.time() + WARM_S)
    painters = [begin(settings, "-m", "tests.system.painters", "paint", name, at, str(CANS)) for name in ("ada", "ben")]
    told = [json.loads(said(painter)) for painter in painters]
    for of_ada, of_ben in zip(*told, strict=True):
        assert of_ada["done"] is not of_ben["done"], (of_ada, of_ben)
        assert (of_ben if of_ada["done"] else of_ada)["rules"] == ["stores"]
    left = "from shop.models import Lot; print({str(lot.holds) for lot in Lot.objects.all()})"
    assert manage(settings, "shell", "-v0", "-c", left).strip() == "{'0.000'}"
    coats = "from stages.models import Entry; print(Entry.objects.filter(kind='coat').count())"
    assert manage(settings, "shell", "-v0", "-c", coats).strip() == str(CANS)
    assert "the tables equal the log" in manage(settings, "audit")
