"""The shop as a planning problem: small shops whose steps can be worked out by hand, and any shop planned."""

from datetime import UTC, date, datetime, time, timedelta

import pytest
from django.utils import timezone
from pytest_django import DjangoAssertNumQueries

from shop.models import CrewMember, DayOff, OrderLine, Pack, Pulse, Shop, Skill, Station, Supplier, WeatherDay, Zone
from stages.engine.label import Dryness
from stages.models import HullWork
from stages.planner.fileformat import read_plan, write_plan
from stages.planner.listplan import list_plan
from stages.planner.problem import Held, Link, Problem, Since, Step
from stages.planner.verify import verify
from stages.queries.problem import digest_of, the_problem
from stages.queries.work import in_work
from stages.queries.world import around
from stages.services import bench, notes
from tests.factories import a_crew_member, a_hull, a_shop, hand, product, the_shop_owner
from tests.stages.at_work import a_hull_at, a_primed_hull, many_hulls

pytestmark = pytest.mark.django_db

MONDAY = datetime(2026, 5, 4, 8, tzinfo=UTC)
AN_HOUR, A_DAY = 4, 96  # slots


@pytest.fixture
def shop() -> Shop:
    the_shop_owner()
    return a_shop()


def problem(now: datetime | None = None) -> Problem:
    """The problem now."""
    return the_problem(around(), now or timezone.now())


def step(found: Problem, key: str) -> Step:
    """A step by its key."""
    return next(one for one in found.steps if one.key == key)


def link(found: Problem, before: str, after: str, since: Since = Since.HANDS) -> Link:
    """The link between two steps that counts from a moment."""
    return next(one for one in found.links if (one.before, one.after, one.since) == (before, after, since))


def slot(found: Problem, at: datetime) -> int:
    """The first slot that begins no earlier than a moment."""
    assert found.start is not None
    return -int((found.start - at) // timedelta(minutes=15))


def test_a_new_shop_plans_its_first_hull_at_once(shop: Shop) -> None:
    a_hull()
    found = problem()
    plan = list_plan(found)
    assert plan.left == ()
    assert verify(found, plan) == ()
    assert plan.by_step["H-1/survey"].ready < plan.by_step["H-1/hand_over"].start


@pytest.mark.parametrize("day", [date.min, date(1900, 1, 1), date(9999, 12, 30), date.max])
def test_a_promise_out_of_all_reason_that_stands_there_hinders_no_plan(shop: Shop, day: date) -> None:
    a_hull("H-1", promised_on=day)
    a_hull("H-2")
    found = problem()
    plan = list_plan(found)
    assert plan.left == ()
    assert verify(found, plan) == ()
    due = next(job.due for job in found.jobs if job.key == "H-1")
    assert due is not None
    assert (due > found.horizon) == (day.year > 2000)
    assert read_plan(write_plan(found, plan)) == (found, plan)


def test_a_stage_takes_the_hours_of_its_formula_cut_into_sittings_at_its_station(shop: Shop) -> None:
    hull = a_hull()
    notes.write_survey(hull_id=hull.pk, counts={"ribs": 5}, conditions={}, hand=hand())
    found = step(problem(), "H-1/ribs")
    # By the route: half an hour, and an hour and a half for each of five ribs: eight hours, two sittings of four.
    assert found.sittings == (4 * AN_HOUR, 4 * AN_HOUR)
    assert [(use.resource, use.held) for use in found.uses] == [("wood", Held.HANDS)]


def test_a_coat_says_which_it_is_of_several_and_the_only_one_goes_by_its_step(shop: Shop) -> None:
    a_hull()
    titles = {one.key: one.title for one in problem().steps}
    assert titles["H-1/canvas/1"] == "Stretch and tack the canvas"
    assert titles["H-1/enamel/1"] == "Enamel, coat 1 of 3"


def test_the_coat_that_is_to_come_waits_for_the_dry_clock_of_the_one_that_lies(shop: Shop) -> None:
    now = timezone.now()
    hull = a_primed_hull(coat_at=now - timedelta(hours=5))
    found = problem(now)
    work = in_work([HullWork.objects.select_related("hull__owner", "route").get(hull=hull)], around().world)[0].work
    top = work.state.stack("skin")[-1]  # type: ignore[arg-type]
    dry = work.dry_at(top, Dryness.SAND)
    assert dry is not None
    assert dry.at is not None
    # The shop's air is the label's, which says 16 hours to sand; five of them are over.
    assert abs((dry.at - now) / timedelta(hours=1) - 11.0) < 0.1
    assert [(hold.until, hold.why) for hold in step(found, "H-1/prime/2").holds] == [(slot(found, dry.at), "drying")]
    assert step(found, "H-1/stands").uses[0].resource == "finishing"
    assert step(found, "H-1/stands").dry + (step(found, "H-1/stands").since or 0) == slot(found, dry.at)


def test_coats_to_come_are_set_apart_by_their_label_and_sealer_by_its_window_too(shop: Shop) -> None:
    a_hull()
    found = problem()
    # By the label at its own air: a sealer takes its next coat after 2 h and within 72 h, else it is sanded.
    sealer = link(found, "H-1/seal_inside_before/1", "H-1/seal_inside_before/2")
    assert (sealer.since, sealer.least, sealer.most) == (Since.HANDS, 2 * AN_HOUR, 72 * AN_HOUR)
    assert sealer.sanding is not None
    # Varnish is sanded between coats anyway: 18 h, and no window.
    varnish = link(found, "H-1/varnish_inside_before/1", "H-1/varnish_inside_before/2")
    assert (varnish.least, varnish.most) == (18 * AN_HOUR, None)
    # Varnish goes over sealer after 4 h; enamel over primer after 16 h.
    assert link(found, "H-1/seal_inside_before/3", "H-1/varnish_inside_before/1").least == 4 * AN_HOUR
    assert step(found, "H-1/prime/1").dry == 16 * AN_HOUR
    assert [use.held for use in step(found, "H-1/prime/1").uses] == [Held.READY]


def test_a_long_cure_leaves_the_bay_for_the_rack(shop: Shop) -> None:
    a_hull(filler="oil")
    found = problem()
    # By the label 72 h until it may be moved and 840 h until it may be sanded.
    assert step(found, "H-1/fill_oil/1").dry == 72 * AN_HOUR
    assert step(found, "H-1/fill_oil/1/cure").dry == (840 - 72) * AN_HOUR
    assert [use.resource for use in step(found, "H-1/fill_oil/1/cure").uses] == ["rack"]
    assert link(found, "H-1/fill_oil/1", "H-1/fill_oil/2").least == 840 * AN_HOUR


def test_preservative_airs_for_its_dry_days_of_which_each_ends_in_an_evening(shop: Shop) -> None:
    yard = Zone.objects.get(outdoors=True)
    today = timezone.now().date()
    for n in range(1, 90):
        WeatherDay.objects.create(zone=yard, day=today - timedelta(days=n), dry=n % 3 > 0)
    a_hull()
    found = problem()
    out = step(found, "H-1/preserve/out")
    assert (out.sittings, out.skill, out.weather) == ((1,) * 5, None, "airing")
    evenings = found.weather["airing"]
    assert all(end - start == 1 for start, end in evenings)
    # Two days of three were dry on record; ten usual ones, of which six are dry, count along.
    share = len(evenings) / (found.horizon / A_DAY)
    assert share == pytest.approx((60 + 6) / (89 + 10), abs=0.01)


def test_a_hull_is_at_one_station_at_a_time(shop: Shop) -> None:
    hull = a_hull()
    notes.write_survey(hull_id=hull.pk, counts={"ribs": 2, "planks": 3}, conditions={}, hand=hand())
    found = problem()
    assert link(found, "H-1/ribs", "H-1/planking")  # the route lets them be worked side by side
    plan = list_plan(found)
    assert plan.by_step["H-1/planking"].start >= plan.by_step["H-1/ribs"].hands_end


def test_a_step_in_hand_takes_what_is_left_of_its_hours_and_keeps_its_place_and_hands(shop: Shop) -> None:
    boss = the_shop_owner()
    hull = a_hull_at("strip")
    days = (timezone.now().replace(hour=8, minute=0, second=0, microsecond=0) - timedelta(days=n) for n in range(1, 8))
    at = next(day for day in days if day.weekday() < 4)
    for key in ("survey", "estimate"):
        bench.leave_out(hull_id=hull.pk, stage=key, reason="known", hand=hand(at=at))
    assert bench.start_stage(hull_id=hull.pk, stage="unfit", hand=hand(by=boss, at=at)).done
    now = at + timedelta(hours=2)
    found = problem(now)
    unfit = step(found, "H-1/unfit")
    # Three and a half hours by the route; of the two since then a ninth is break: 1.7 h are left, 7 slots.
    assert unfit.begun[0].person == f"p{boss.pk}"
    assert unfit.begun[0].start == -2 * AN_HOUR
    assert sum(unfit.sittings) == 2 * AN_HOUR + 7
    assert unfit.since is not None
    plan = list_plan(found)
    assert verify(found, plan) == ()
    assert plan.by_step["H-1/unfit"].hands_end == 7


def test_people_work_by_the_clock_on_their_days(shop: Shop) -> None:
    Shop.objects.update(time_zone="America/Toronto", country="CA", region="ON")
    Shop.objects.get().save()
    boss = the_shop_owner()
    DayOff.objects.create(person=boss, first=date(2026, 10, 29), last=date(2026, 10, 30), reason="away")
    now = datetime(2026, 10, 28, 10, tzinfo=UTC)  # a Wednesday, six in the morning there
    found = problem(now)
    works = [(found.start + timedelta(minutes=15 * since)) for since, _until in found.people[0].works if found.start]
    # Clocks go back on Sunday 1 November 2026 (15 U.S.C. 260a, which Ontario follows): eight o'clock is 12 UTC before
    # and 13 UTC after.
    eights = [at for at in works if at.hour in (12, 13)][:2]
    assert eights == [datetime(2026, 10, 28, 12, tzinfo=UTC), datetime(2026, 11, 2, 13, tzinfo=UTC)]
    # Christmas Day and the day after it are public holidays in Ontario (Employment Standards Act, 2000, s. 1).
    days = {at.date() for at in works}
    assert date(2026, 12, 24) in days
    assert not days & {date(2026, 12, 25), date(2026, 12, 26)}


def test_only_who_is_named_for_a_skill_sits_at_its_steps(shop: Shop) -> None:
    a_crew_member("ines")
    tobias = a_crew_member("tobias")
    Skill.objects.get(name="Canvas").people.add(tobias)
    a_hull()
    found = problem()
    assert step(found, "H-1/canvas/1").skill == "Canvas"
    assert {person.name for person in found.people if "Canvas" in person.skills} == {"tobias"}
    assert all("Wood" in person.skills for person in found.people)  # nobody is named for it: everybody does it


def test_who_is_not_at_the_bench_gets_no_step(shop: Shop) -> None:
    a_crew_member("books")
    CrewMember.objects.filter(username="books").update(at_bench=False)
    a_crew_member("wall", role="look")  # type: ignore[arg-type]
    assert {person.name for person in problem().people} == {"boss"}


def test_a_coat_waits_for_what_is_on_order_and_else_for_the_supplier(shop: Shop) -> None:
    now = timezone.now()
    a_primed_hull(coat_at=now - timedelta(days=20))
    primer = product("primer")
    primer.lots.create(product=primer, received_on=now.date(), holds=0)
    supplier = Supplier.objects.create(name="Chandler", lead_days=9)
    Pulse.bump(stores=True)
    pack = Pack.objects.create(product=primer, supplier=supplier, called="can", amount=4)
    noon = datetime.combine(now.date(), time(12), UTC)
    found = problem(now)
    holds = {hold.why: hold.until for hold in step(found, "H-1/prime/2").holds}
    assert holds["stores"] == slot(found, noon + timedelta(days=9))
    OrderLine.objects.create(
        client_id="6f1c1a5e-4a0e-4a55-9d3c-0a4a6b0b4c11",
        pack=pack,
        packs=2,
        ordered_on=now.date(),
        expected_on=now.date() + timedelta(days=3),
        ordered_by=the_shop_owner(),
    )
    Pulse.bump(stores=True)
    found = problem(now)
    holds = {hold.why: hold.until for hold in step(found, "H-1/prime/2").holds}
    assert holds["stores"] == slot(found, noon + timedelta(days=3))


def test_a_station_kind_without_places_leaves_its_steps_out_and_says_so(shop: Shop) -> None:
    Station.objects.filter(kind="canvas").delete()
    a_hull()
    found = problem()
    plan = list_plan(found)
    why = {left.step: str(left) for left in plan.left}
    assert "canvas rig" in why["H-1/canvas/1"]
    assert "H-1/survey" not in why
    assert verify(found, plan) == ()


def test_the_next_days_of_the_plan_before_are_kept(shop: Shop) -> None:
    now = timezone.now()
    a_hull()
    old = problem(now)
    plan = list_plan(old)
    later = the_problem(around(), now + timedelta(minutes=15), (old, plan))
    kept = {(one.step, one.number): one.start for one in later.kept}
    assert kept
    for (key, number), start in kept.items():
        sitting = next(one for one in plan.by_step[key].sittings if one.number == number)
        assert start == sitting.start - 1
    assert digest_of(old) == digest_of(the_problem(around(), now, (old, plan)))


def test_many_hulls_cost_no_more_queries_than_few_and_are_planned_without_a_breach(
    shop: Shop, django_assert_num_queries: DjangoAssertNumQueries
) -> None:
    now = timezone.now()
    a_hull("H-1")
    problem(now)
    with django_assert_num_queries(14):
        problem(now)
    many_hulls(25)
    problem(now)
    with django_assert_num_queries(14):
        found = problem(now)
    plan = list_plan(found)
    assert verify(found, plan) == ()
    assert plan.left == ()
