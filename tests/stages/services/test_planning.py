"""Plans are asked for by whatever changes the shop, made in the background, and kept with what moved."""

from dataclasses import replace
from datetime import date, timedelta

import pytest
from django.utils import timezone

from hulls.models import Hull
from shop.jobs.run import run_job
from shop.models import Job, Pulse, Shop, Station, Zone
from stages.models import How, HullDates, Plan
from stages.planner.verify import verify
from stages.queries.dates import in_words, newest_dates
from stages.queries.planning.told import Told, Why
from stages.queries.plans import held_plan
from stages.queries.world import around
from stages.services import notes
from stages.services.planning import ALERT, JOB, PLANS_STAY, Made, keep
from stages.services.replanning import plan_again, plan_of
from tests.factories import a_hull, a_shop, hand, the_shop_owner

pytestmark = pytest.mark.django_db

NOW = timezone.now()


@pytest.fixture
def hull() -> Hull:
    a_shop()
    the_shop_owner()
    return a_hull(promised_on=NOW.date() + timedelta(days=90))


def run_the_plan() -> None:
    """Do the job that waits, as a worker does once it is due."""
    Job.objects.filter(name=JOB, state=Job.State.WAITING).update(due_at=timezone.now())
    run_job(key=Job.objects.get(name=JOB, state=Job.State.WAITING).key)


def made(told: dict[str, Told], days: int = 0) -> Made:
    """A plan that tells what a test wants told."""
    whole = plan_of(around(), now=NOW, seconds=0)
    return replace(whole, told=told, now=NOW + timedelta(days=days))


def told(likely: date, chance_pct: float | None = None, *why: Why) -> Told:
    """What a forecast tells of a hull."""
    return Told(
        early=likely, likely=likely, late=likely, suggested=likely, chance_pct=chance_pct, why=why, shop_why=why
    )


def test_whatever_changes_asks_for_one_plan(hull: Hull) -> None:
    assert Job.objects.filter(name=JOB).count() == 1  # the set-up and the arrival came to one
    notes.write_note(hull_id=hull.pk, text="Came with a paddle.", hand=hand())
    Station.objects.all()[0].save()
    assert Job.objects.filter(name=JOB, state=Job.State.WAITING).count() == 1
    Shop.objects.update(plan_seconds=0)
    run_the_plan()
    assert Plan.objects.exists()
    notes.write_note(hull_id=hull.pk, text="And with a pole.", hand=hand())
    assert Job.objects.filter(name=JOB, state=Job.State.WAITING).count() == 1


def test_the_plan_that_is_kept_holds_and_tells_of_each_hull(hull: Hull) -> None:
    Shop.objects.update(plan_seconds=0)
    run_the_plan()
    held = held_plan()
    assert held is not None
    assert verify(held.problem, held.schedule) == ()
    dates = HullDates.objects.get(hull=hull)
    assert dates.days is not None
    assert dates.days.early <= dates.days.likely <= dates.days.late
    assert dates.promised_on == hull.promised_on


def test_a_shop_that_did_not_change_is_not_planned_anew(hull: Hull) -> None:
    first = plan_again(now=NOW, seconds=0)
    assert first is not None
    keep(first)
    assert plan_again(now=NOW, seconds=0) is None
    notes.write_survey(hull_id=hull.pk, counts={"ribs": 9}, conditions={}, hand=hand())
    assert plan_again(now=NOW, seconds=0) is not None


def test_a_photo_that_is_due_goes_before_a_plan(hull: Hull) -> None:
    Job.objects.create(key="work_photo:1", name="work_photo", due_at=timezone.now())
    run_the_plan()
    assert not Plan.objects.exists()
    Job.objects.filter(name="work_photo").delete()
    Shop.objects.update(plan_seconds=0)
    run_the_plan()
    assert Plan.objects.exists()


def test_while_one_plan_is_made_another_waits_its_turn(hull: Hull) -> None:
    for key in ("one", "two"):
        Job.objects.create(
            key=key, name=JOB, state=Job.State.CLAIMED, due_at=NOW, lease_until=timezone.now() + timedelta(minutes=1)
        )
    Job.objects.filter(state=Job.State.WAITING).delete()
    assert plan_again(now=timezone.now()) is None
    assert Job.objects.filter(name=JOB, state=Job.State.WAITING).count() == 1


def test_what_moved_is_kept_with_why_and_what_did_not_move_is_not_written_again(hull: Hull) -> None:
    why = Why(text="%(what)s is still soft.", values={"what": "The filler"})
    keep(made({"H-1": told(date(2030, 5, 6))}))
    keep(made({"H-1": told(date(2030, 5, 6))}, days=1))
    assert HullDates.objects.filter(hull=hull).count() == 1
    plan = keep(made({"H-1": told(date(2030, 5, 8), None, why)}, days=2))
    assert plan.moved == [
        {
            "tag": "H-1",
            "was": "2030-05-06",
            "now": "2030-05-08",
            "why": [{"text": "%(what)s is still soft.", "values": {"what": "The filler"}}],
        }
    ]
    assert HullDates.objects.filter(hull=hull).count() == 2


def test_plans_of_weeks_ago_go_and_their_dates_stay(hull: Hull) -> None:
    keep(made({"H-1": told(date(2030, 5, 6))}))
    keep(made({"H-1": told(date(2030, 5, 9))}, days=PLANS_STAY.days + 1))
    assert Plan.objects.count() == 1
    assert HullDates.objects.count() == 2


def test_a_promise_whose_chance_falls_under_the_limit_is_told_once(hull: Hull) -> None:
    Shop.objects.update(promise_limit_pct=50, alert_by_letter=True)
    for day, chance_pct in enumerate((80.0, 50.0, 49.0, 20.0)):
        keep(made({"H-1": told(date(2030, 5, 6), chance_pct)}, days=day))
    falls = HullDates.objects.get(chance_pct=49.0)
    assert [job.payload for job in Job.objects.filter(name=ALERT)] == [{"dates": [falls.pk]}]


def without_the_rig() -> Made:
    """The plan of a shop that has no place any more at which to put on a canvas."""
    Station.objects.filter(kind="canvas").delete()
    Pulse.bump(setup=True)
    return plan_of(around(), now=NOW + timedelta(hours=1), seconds=0)


def test_a_boat_that_drops_out_of_the_plan_loses_its_dates_and_has_them_again_once_it_is_back(hull: Hull) -> None:
    keep(plan_of(around(), now=NOW, seconds=0))
    first = HullDates.objects.get(hull=hull)
    assert first.days is not None
    moved = keep(without_the_rig()).moved
    gone = newest_dates([hull.pk])[hull.pk]
    assert moved == [{"tag": "H-1", "was": first.days.likely.isoformat(), "now": "", "why": gone.no_date}]
    assert (gone.days, gone.chance_pct, gone.promised_on) == (None, None, hull.promised_on)
    assert "“canvas rig” has 0 places; this needs 1." in in_words(gone.no_date)
    keep(plan_of(around(), now=NOW + timedelta(hours=2), seconds=0))
    assert HullDates.objects.filter(hull=hull).count() == 2, "nothing changed, so nothing more is told"
    Station.objects.create(name="canvas rig", kind="canvas", zone=Zone.objects.all()[0], places=1)
    Pulse.bump(setup=True)
    again = keep(plan_of(around(), now=NOW + timedelta(hours=3), seconds=0)).moved
    back = newest_dates([hull.pk])[hull.pk]
    assert back.days is not None
    assert back.no_date == []
    assert [(one["was"], one["now"]) for one in again] == [("", back.days.likely.isoformat())]


def test_a_promised_boat_that_drops_out_is_told_of_once_and_one_that_nobody_promised_is_not(hull: Hull) -> None:
    Shop.objects.update(promise_limit_pct=50, alert_by_letter=True)
    a_hull("H-2", promised_on=None)
    keep(plan_of(around(), now=NOW, seconds=0))
    Job.objects.filter(name=ALERT).delete()
    gone = without_the_rig()
    assert set(gone.undated) == {"H-1", "H-2"}
    for hours in (1, 2):
        keep(replace(gone, now=NOW + timedelta(hours=hours)))
    falls = newest_dates([hull.pk])[hull.pk]
    assert [job.payload for job in Job.objects.filter(name=ALERT)] == [{"dates": [falls.pk]}]


@pytest.mark.parametrize(("limit_pct", "chance_pct", "alerts"), [(50, 49.0, 0), (50, 50.0, 1), (0, 50.0, 0)])
def test_a_promise_that_was_in_danger_already_or_that_nobody_asks_about_is_not_told_of(
    hull: Hull, limit_pct: int, chance_pct: float, alerts: int
) -> None:
    Shop.objects.update(promise_limit_pct=limit_pct, alert_by_letter=True)
    keep(made({"H-1": told(date(2030, 5, 6), chance_pct)}))
    Job.objects.filter(name=ALERT).delete()
    keep(replace(made({}, days=1), undated={"H-1": (Why(text="No place."),)}))
    assert Job.objects.filter(name=ALERT).count() == alerts
    keep(made({"H-1": told(date(2030, 5, 6), 20.0)}, days=2))
    assert Job.objects.filter(name=ALERT).count() == alerts, "it was in danger before, without a date"


def test_a_plan_by_rule_alone_says_so(hull: Hull) -> None:
    assert plan_of(around(), now=NOW, seconds=0).how is How.LIST
