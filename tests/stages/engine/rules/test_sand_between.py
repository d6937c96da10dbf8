"""Sand between. Common practice, no published source."""

from datetime import timedelta

import pytest

from stages.engine.vocab import Condition, Surface
from tests.stages.engine.trade import NOW, a_coat, a_stay, a_work, a_world, asking_to_coat, refusals, steady

MINUTE = 1 / 60


@pytest.mark.parametrize(
    ("under", "upper"),
    [
        ("varnish", "varnish"),
        ("primer", "primer"),
        ("primer", "enamel"),
        ("enamel", "enamel"),
        ("oil_filler", "primer"),
    ],
)
def test_an_oil_based_coat_is_sanded_before_the_next(under: str, upper: str) -> None:
    hours = 900 if under == "oil_filler" else 100
    assert refusals(a_work(coats=[a_coat(under, hours_ago=hours, sanded=True)]), asking_to_coat(upper)) == {}
    found = refusals(a_work(coats=[a_coat(under, hours_ago=hours)]), asking_to_coat(upper))
    assert set(found) == {"sand_between"}
    assert found["sand_between"].earliest is None


@pytest.mark.parametrize(("hours", "refused"), [(72 - MINUTE, False), (72, False), (72 + MINUTE, True)])
def test_a_coat_past_its_recoat_window_is_sanded(hours: float, refused: bool) -> None:
    """The sealer's window of 72 hours is from memory; see shop/setup/products.py."""
    work = a_work(coats=[a_coat("sealer", hours_ago=hours)])
    assert set(refusals(work, asking_to_coat("sealer"))) == ({"sand_between"} if refused else set())


def test_what_was_sanded_inside_its_window_stays_rough_after_it() -> None:
    assert refusals(a_work(coats=[a_coat("sealer", hours_ago=500, sanded=True)]), asking_to_coat("sealer")) == {}


def test_only_the_outermost_coat_counts() -> None:
    under = [a_coat("varnish", hours_ago=90), a_coat("varnish", hours_ago=60, sanded=True)]
    over = [a_coat("varnish", hours_ago=90, sanded=True), a_coat("varnish", hours_ago=60)]
    assert "sand_between" not in refusals(a_work(coats=under), asking_to_coat("varnish"))
    assert "sand_between" in refusals(a_work(coats=over), asking_to_coat("varnish"))


def test_latex_filler_asks_for_no_sanding_however_old() -> None:
    assert refusals(a_work(coats=[a_coat("latex_filler", hours_ago=2000)]), asking_to_coat("primer")) == {}


@pytest.mark.parametrize("condition", [Condition.SOUND, Condition.UNKNOWN])
def test_an_old_finish_is_sanded_before_the_first_new_coat(condition: Condition) -> None:
    old = {Surface.BRIGHTWORK: condition}
    sanded = {Surface.BRIGHTWORK: a_coat("varnish").at}
    assert set(refusals(a_work(old=old), asking_to_coat("varnish"))) == {"sand_between"}
    assert refusals(a_work(old=old, old_sanded=sanded), asking_to_coat("varnish")) == {}


def test_bare_wood_needs_no_sanding_on_record() -> None:
    assert refusals(a_work(), asking_to_coat("varnish")) == {}


def test_the_window_runs_by_the_air_of_each_place() -> None:
    """Half as fast at ten kelvin less: a primer's 336 hours, of which 300 at 23 °C, leave 72 at 13 °C."""
    world = a_world(yard_air=steady(13.0))
    stays = (a_stay("finishing"), a_stay("yard", days_ago=10 / 24))
    work = a_work(coats=[a_coat("primer", hours_ago=310)], stays=stays, world=world)
    closes = work.window_closed_at(work.state.stack(Surface.SKIN)[0])
    assert closes is not None
    assert abs(closes - (NOW + timedelta(hours=62))) < timedelta(seconds=1)
