from stages.engine.standing import breaches, newly_broken
from stages.engine.vocab import ProductKind, Surface
from tests.stages.engine.job import Job
from tests.stages.engine.trade import a_line, a_route, a_stage, product

PAINT = a_stage("enamel", coats=2, product=ProductKind.ENAMEL, surface=Surface.INSIDE)


def a_painted_job() -> Job:
    """Two coats of enamel, sanded between: lines 3, 4 and 5."""
    job = Job(route=a_route(PAINT))
    assert job.coat("enamel", 0.0, on="inside") == {}
    assert job.sand("inside", 20.0) == {}
    assert job.coat("enamel", 21.0, on="inside") == {}
    return job


def struck(job: Job, *lines: int) -> tuple[str, ...]:
    """What stands broken after lines were struck, as "line rule"."""
    strikes = [a_line(90 + n, "strike", 30.0, entry=n) for n in lines]
    return tuple(f"{b.entry.id} {b.finding.rule}" for b in newly_broken(job.work, job.log, (*job.log, *strikes)))


def test_a_log_that_was_let_through_line_by_line_breaks_nothing() -> None:
    job = a_painted_job()
    assert breaches(job.work, job.log) == ()


def test_striking_what_a_later_line_leans_on_breaks_that_line() -> None:
    assert struck(a_painted_job(), 4) == ("5 sand_between",)
    assert struck(a_painted_job(), 2) == ("3 order", "5 order")


def test_striking_the_last_line_breaks_nothing() -> None:
    assert struck(a_painted_job(), 5) == ()


def test_a_coat_struck_with_its_sanding_breaks_nothing() -> None:
    assert struck(a_painted_job(), 4, 5) == ()
    assert struck(a_painted_job(), 3, 4) == ()


def test_a_line_put_between_is_judged_by_what_came_before_it() -> None:
    job = a_painted_job()
    between = a_line(6, "coat", 20.5, "enamel", product=product("enamel").id, surface="inside", zone=1)
    broken = newly_broken(job.work, job.log, (*job.log, between))
    assert [(b.entry.id, b.finding.rule) for b in broken] == [(5, "dry"), (5, "sand_between")]


def test_what_was_broken_before_is_not_broken_anew() -> None:
    job = a_painted_job()
    wrong = a_line(6, "coat", 22.0, "enamel", product=product("enamel").id, surface="inside", zone=1)
    log = (*job.log, wrong)
    assert {b.finding.rule for b in breaches(job.work, log)} == {"dry", "sand_between"}
    note = a_line(7, "note", 1.0, text="hello")
    assert newly_broken(job.work, log, (*log, note)) == ()


def test_an_override_stands_for_the_rule_that_it_names_and_for_no_other() -> None:
    job = a_painted_job()
    details = {"product": product("enamel").id, "surface": "inside", "zone": 1}
    over = [{"rule": "dry", "reason": "a test panel"}]
    wrong = a_line(6, "coat", 22.0, "enamel", overrides=over, **details)
    assert {b.finding.rule for b in breaches(job.work, (*job.log, wrong))} == {"sand_between"}


def test_a_full_station_of_the_past_is_no_matter_now() -> None:
    job = Job()
    moved = a_line(50, "moved", 1.0, station=3, place=1, zone=1)
    assert breaches(job.work, (*job.log, moved)) == ()


def test_a_step_left_out_with_its_rags_stands_broken_when_they_come_to_light() -> None:
    job = Job()
    left = a_line(50, "left_out", 9.0, "varnish", reason="the owner does it")
    assert newly_broken(job.work, job.log, (*job.log, left)) == ()
    coat = a_line(51, "coat", 5.0, "varnish", product=1, surface="brightwork", zone=1, self_heating=True)
    log = (*job.log, left)
    broken = newly_broken(job.work, log, (*log, coat))
    assert [(b.entry.id, b.finding.rule) for b in broken if b.entry.id == 50] == [(50, "rags")]
