"""What every canoe shop knows, tried on the products and rules that a new shop starts with.

All of it is common practice, no published source. Hours run from nine on a Thursday in the air of the labels, 23 °C and
50 %, unless a test says otherwise.
"""

from datetime import UTC, date, datetime

import pytest

from stages.engine.vocab import Condition, ProductKind, StationKind, Surface
from tests.stages.engine.job import Job
from tests.stages.engine.trade import YARD, a_world, later, number_of, steady

DAY = 24.0
YARD_STATION, FILLER_BAY = number_of(StationKind.YARD), number_of(StationKind.FILLER)


def a_job_under_canvas() -> Job:
    job = Job()
    assert job.coat("oil", -20.0) == {}
    assert job.coat("canvas", 30.0) == {}
    return job


@pytest.mark.parametrize(("kind", "surface", "first"), [("varnish", "brightwork", 18.0), ("primer", "skin", 16.0)])
def test_oil_varnish_and_primer_are_sanded_between_coats(kind: str, surface: str, first: float) -> None:
    job = Job() if kind == "varnish" else a_job_under_canvas()
    start = 100.0
    assert job.coat(kind, start) == {}
    assert set(job.coat(kind, start + first)) == {"sand_between"}
    assert job.sand(surface, start + first) == {}
    assert job.coat(kind, start + first) == {}
    assert set(job.coat(kind, start + 2 * first)) == {"sand_between"}  # the second coat's own turn


def test_enamel_is_sanded_between_coats() -> None:
    job = a_job_under_canvas()
    job.coat("primer", 100.0)
    job.sand("skin", 116.0)
    assert job.coat("enamel", 116.0) == {}
    assert set(job.coat("enamel", 140.0)) == {"sand_between"}
    job.sand("skin", 140.0)
    assert job.coat("enamel", 140.0) == {}


def test_a_water_based_sealer_takes_three_coats_in_one_warm_day_without_sanding() -> None:
    job = Job(world=a_world(air=steady(air_c=26.0, rh_pct=50.0)))
    assert [job.coat("sealer", hour) for hour in (0.0, 2.0, 4.0)] == [{}, {}, {}]
    assert [coat.sanded_at for coat in job.state.stack(Surface.BRIGHTWORK)] == [None, None, None]


def test_on_a_cool_day_it_takes_longer() -> None:
    job = Job(world=a_world(air=steady(air_c=14.0, rh_pct=60.0)))
    assert job.coat("sealer", 0.0) == {}
    assert set(job.coat("sealer", 2.0)) == {"dry"}


def test_the_sealer_is_topped_by_a_gloss_varnish_before_hand_over() -> None:
    job = Job()
    for hour in (0.0, 2.0, 4.0):
        assert job.coat("sealer", hour) == {}
    assert set(job.finish("hand_over", 300.0)) == {"topped"}
    assert job.coat("varnish", 8.0) == {}
    job.note("rags", 9.0, "varnish")
    assert job.finish("hand_over", 300.0) == {}


def test_an_oil_based_paint_straight_on_latex_filler_is_refused_and_with_primer_between_it_is_allowed() -> None:
    job = a_job_under_canvas()
    assert job.coat("latex_filler", 40.0) == {}
    assert set(job.coat("enamel", 100.0)) == {"bridge"}
    assert job.coat("primer", 100.0) == {}
    assert job.sand("skin", 116.0) == {}
    assert job.coat("enamel", 116.0) == {}


def test_latex_filler_may_be_primed_after_two_days_indoors_at_the_earliest() -> None:
    job = a_job_under_canvas()
    assert job.coat("latex_filler", 40.0) == {}
    early = job.coat("primer", 40.0 + 47.0)
    assert set(early) == {"dry"}
    assert early["dry"].earliest == later(40.0 + 48.0)
    assert job.coat("primer", 40.0 + 48.0) == {}


def test_in_a_cool_damp_shop_the_filler_waits_longer() -> None:
    """It dries as the vapour-pressure deficit: 2810 Pa x 0.50 = 1405 Pa at the label's 23 °C and 50 %, 1706 Pa x 0.35 =
    597 Pa at 15 °C and 65 % (saturation pressures of the steam tables), so that 48 h become 113 h.
    """
    job = Job(world=a_world(air=steady(air_c=15.0, rh_pct=65.0)))
    assert job.coat("canvas", 0.0)  # nothing under it
    assert job.coat("oil", -20.0) == {}
    assert job.coat("canvas", 200.0) == {}
    assert job.coat("latex_filler", 201.0) == {}
    assert set(job.coat("primer", 201.0 + 112.0)) == {"dry"}
    assert job.coat("primer", 201.0 + 114.0) == {}


def test_an_oil_based_filler_waits_about_five_weeks() -> None:
    job = a_job_under_canvas()
    assert job.coat("oil_filler", 40.0) == {}
    assert set(job.sand("skin", 40.0 + 34 * DAY)) == {"dry"}
    assert job.sand("skin", 40.0 + 35 * DAY) == {}
    assert job.coat("primer", 40.0 + 35 * DAY) == {}


def test_primer_is_sanded_and_recoated_the_next_day() -> None:
    job = a_job_under_canvas()
    assert job.coat("primer", 54.0) == {}  # three in the afternoon
    assert set(job.sand("skin", 59.0)) == {"dry"}  # eight in the evening
    assert job.sand("skin", 72.0) == {}  # nine in the morning
    assert job.coat("primer", 73.0) == {}


def may() -> frozenset[date]:
    """Dry days after the seventeenth of May, with rain on the nineteenth and the twentieth."""
    return frozenset(date(2031, 5, day) for day in (18, 21, 22, 23, 24, 25, 26))


def test_preservative_stays_outdoors_for_five_rain_free_days_and_rainy_ones_do_not_count() -> None:
    job = Job(world=a_world(dry=may()))
    assert job.coat("oil", -20.0) == {}
    assert job.coat("canvas", 30.0) == {}
    assert "outdoors" in job.coat("preservative", 40.0)
    assert job.move(YARD_STATION, 40.0) == {}
    assert job.coat("preservative", 2 * DAY, zone=YARD) == {}  # Saturday, the seventeenth
    assert set(job.move(FILLER_BAY, 8 * DAY)) == {"outdoors"}  # Friday, the twenty-third: the fourth dry day
    assert "outdoors" in job.finish("preservative", 8 * DAY)
    assert job.move(FILLER_BAY, 9 * DAY) == {}
    assert job.finish("preservative", 9 * DAY) == {}


def test_the_earliest_day_is_told_as_if_no_more_rain_fell() -> None:
    job = Job(world=a_world(dry=may()))
    job.coat("oil", -20.0)
    job.coat("canvas", 30.0)
    job.move(YARD_STATION, 40.0)
    job.coat("preservative", 2 * DAY, zone=YARD)
    refused = job.move(FILLER_BAY, 5 * DAY)["outdoors"]  # Tuesday, after one dry day
    assert refused.earliest == datetime(2031, 5, 23, 18, tzinfo=UTC)  # the fourth evening from today on


def test_canvas_goes_on_only_over_oil_or_varnish_that_is_dry() -> None:
    job = Job()
    assert set(job.coat("canvas", 0.0)) == {"dry"}
    assert job.coat("oil", 0.0) == {}
    assert set(job.coat("canvas", 24.0)) == {"dry"}
    assert job.coat("canvas", 48.0) == {}


def test_new_varnish_over_flaking_varnish_is_refused_and_over_sound_varnish_it_is_sanded() -> None:
    job = Job()
    job.log[0] = type(job.log[0])(id=1, kind=job.log[0].kind, at=job.log[0].at, details={"old_finish": ["brightwork"]})
    job.note("survey", -10.0, conditions={"brightwork": Condition.FLAKING})
    assert "sound_base" in job.coat("varnish", 0.0)
    job.note("survey", 1.0, conditions={"brightwork": Condition.SOUND})
    assert set(job.coat("varnish", 2.0)) == {"sand_between"}
    assert set(job.sand("brightwork", 2.0)) == {"lead"}  # old varnish: not before a test
    job.note("lead_test", 2.0, positive=True)
    assert set(job.sand("brightwork", 3.0)) == {"lead"}  # nor dry
    assert job.sand("brightwork", 3.0, wet=True) == {}
    assert job.coat("varnish", 3.0) == {}


def test_a_step_with_oily_rags_is_finished_when_they_are_dealt_with() -> None:
    job = Job()
    assert job.coat("varnish", 0.0) == {}
    assert set(job.finish("varnish", 60.0)) == {"rags"}
    job.note("rags", 1.0, "varnish", how="drowned in the lidded can")
    assert job.finish("varnish", 60.0) == {}


def test_each_coat_makes_its_own_rags() -> None:
    job = Job()
    job.coat("varnish", 0.0)
    job.note("rags", 1.0, "varnish")
    job.sand("brightwork", 20.0)
    assert job.coat("varnish", 20.0) == {}
    assert set(job.finish("varnish", 80.0)) == {"rags"}


@pytest.mark.parametrize("kind", sorted(ProductKind))
def test_the_shop_has_a_usual_product_of_every_kind(kind: ProductKind) -> None:
    usual = a_world().usual_product(kind)
    assert usual is not None
    assert usual.kind is kind
