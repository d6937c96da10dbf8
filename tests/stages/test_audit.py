"""The tables are changed behind the services' back, and the audit names what was done."""

from datetime import timedelta
from typing import Any

import pytest
from django.core.management import CommandError, call_command
from django.db import connection

from hulls.models import Hull
from stages.audit import differences
from stages.models import AppendOnlyError, CoatOn, Entry, HullWork, StageState
from stages.services import notes
from stages.services.record import seal
from tests.factories import a_hull, a_shop, hand, station
from tests.stages.services.at_bench import a_hull_with_sanded_primer, days_ago, prime

pytestmark = pytest.mark.django_db


@pytest.fixture
def hull() -> Hull:
    a_shop()
    hull = a_hull_with_sanded_primer()
    assert prime(hull, days_ago(18)).done
    return hull


def first_difference() -> str:
    """What `manage.py audit` says before it exits non-zero."""
    with pytest.raises(CommandError) as caught:
        call_command("audit")
    return str(caught.value)


def raw(sql: str, *values: Any) -> None:
    """Something that no service does."""
    with connection.cursor() as cursor:
        cursor.execute(sql, values)
        assert cursor.rowcount == 1


def test_an_honest_shop_passes(hull: Hull, capsys: pytest.CaptureFixture[str]) -> None:
    assert list(differences()) == []
    call_command("audit")
    assert capsys.readouterr().out == f"1 hulls, {Entry.objects.count()} lines: the tables equal the log.\n"


def test_a_count_of_coats_that_was_changed(hull: Hull) -> None:
    StageState.objects.filter(work=hull.pk, stage="prime").update(coats_on=3)
    assert first_difference() == "H-1: stages.prime.coats_on: the log says 2, the table says 3"


def test_a_stage_that_was_finished_by_hand(hull: Hull) -> None:
    StageState.objects.filter(work=hull.pk, stage="prime").update(finished_at=days_ago(1))
    assert first_difference().startswith("H-1: stages.prime.finished_at: the log says None, the table says datetime")


def test_a_stage_that_was_deleted(hull: Hull) -> None:
    StageState.objects.filter(work=hull.pk, stage="prime").delete()
    assert first_difference().startswith("H-1: stages.prime: the log says {'started_at'")


def test_a_coat_that_was_put_earlier(hull: Hull) -> None:
    CoatOn.objects.filter(work=hull.pk, layer=1).update(at=days_ago(18) - timedelta(minutes=1))
    assert first_difference().startswith("H-1: stacks.skin[1].at: the log says")


def test_a_coat_that_was_taken_away(hull: Hull) -> None:
    CoatOn.objects.filter(work=hull.pk, layer=1).delete()
    assert first_difference().startswith("H-1: stacks.skin: the log says (")


def test_a_hull_that_was_put_elsewhere(hull: Hull) -> None:
    HullWork.objects.filter(pk=hull.pk).update(station=station("wood"))
    assert first_difference().startswith("H-1: place: the log says")


def test_facts_that_were_changed(hull: Hull) -> None:
    row = HullWork.objects.get(pk=hull.pk)
    HullWork.objects.filter(pk=hull.pk).update(facts={**row.facts, "lead": False})
    assert first_difference() == "H-1: lead: the log says None, the table says False"


def test_a_line_that_was_rewritten(hull: Hull) -> None:
    raw("UPDATE stages_entry SET at = %s WHERE hull_id = %s AND number = 3", days_ago(1), hull.pk)
    assert first_difference().startswith("H-1: seal of line 3: ")


def test_a_detail_of_a_line_that_was_rewritten(hull: Hull) -> None:
    coat = Entry.objects.filter(hull=hull, kind="coat").last()
    assert coat is not None
    raw("UPDATE stages_entry SET details = %s WHERE id = %s", '{"product": 1}', coat.pk)
    assert first_difference().startswith(f"H-1: seal of line {coat.number}: ")


def test_a_seal_that_was_forged_breaks_the_next_one(hull: Hull) -> None:
    line = Entry.objects.get(hull=hull, number=3)
    before = Entry.objects.get(hull=hull, number=2).seal
    line.details = {"reason": "forged"}
    raw(
        "UPDATE stages_entry SET details = %s, seal = %s WHERE id = %s",
        '{"reason": "forged"}',
        seal(line, before),
        line.pk,
    )
    assert first_difference().startswith("H-1: seal of line 4: ")


def test_a_line_in_the_middle_that_was_deleted(hull: Hull) -> None:
    raw("DELETE FROM stages_entry WHERE hull_id = %s AND number = 3", hull.pk)
    assert first_difference() == "H-1: lines of the log: the log says 'line 3', the table says 'line 4'"


def test_the_last_line_that_was_deleted(hull: Hull) -> None:
    lines = Entry.objects.filter(hull=hull).count()
    raw("DELETE FROM stages_entry WHERE hull_id = %s AND number = %s", hull.pk, lines)
    assert first_difference() == f"H-1: number of lines: the log says {lines - 1}, the table says {lines}"


def test_a_hull_whose_work_was_deleted_though_its_log_is_there(hull: Hull) -> None:
    HullWork.objects.filter(pk=hull.pk).delete()
    lines = Entry.objects.filter(hull=hull).count()
    assert first_difference() == f"H-1: hull in work: the log says '{lines} lines', the table says 'no row'"


def test_the_first_hull_by_its_tag_is_named_first(hull: Hull) -> None:
    other = a_hull("A-1", arrived=days_ago(3))
    notes.record_lead_test(hull_id=other.pk, positive=True, hand=hand())
    for row in HullWork.objects.all():
        HullWork.objects.filter(pk=row.pk).update(lines=99)
    assert first_difference().startswith("A-1: number of lines")
    assert len(list(differences())) == 2


def test_the_models_refuse_what_the_log_forbids(hull: Hull) -> None:
    line = Entry.objects.filter(hull=hull).first()
    assert line is not None
    line.stage = "oil"
    with pytest.raises(AppendOnlyError):
        line.save()
    with pytest.raises(AppendOnlyError):
        line.delete()
    with pytest.raises(AppendOnlyError):
        Entry.objects.filter(hull=hull).delete()
    with pytest.raises(AppendOnlyError):
        Entry.objects.filter(hull=hull).update(stage="oil")
    assert list(differences()) == []
