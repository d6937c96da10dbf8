import io
from pathlib import Path

import pytest
from django.core.management import CommandError, call_command

from hulls.models import Hull
from shop.models import Role
from stages.models import Entry
from tests.factories import a_crew_member, a_shop, the_shop_owner
from tests.hulls.intake.sheets import DATA, HEADER

pytestmark = pytest.mark.django_db


def run(file: Path | str, *options: str) -> tuple[str, str, str]:
    """What the command prints, what it prints as errors, and how it fails ("" when it does not)."""
    out, err, failure = io.StringIO(), io.StringIO(), ""
    try:
        call_command("import_hulls", str(file), *options, stdout=out, stderr=err)
    except CommandError as error:
        failure = str(error)
    return out.getvalue(), err.getvalue(), failure


def test_a_good_sheet_is_taken_in_by_the_shop_owner() -> None:
    a_shop()
    owner = the_shop_owner()
    out, err, failure = run(DATA / "us.csv")
    assert (out, err, failure) == ("3 good rows, 0 bad ones. 3 hulls taken in.\n", "", "")
    assert set(Entry.objects.values_list("by", flat=True)) == {owner.pk}


def test_bad_rows_are_listed_and_fail_the_command() -> None:
    a_shop()
    the_shop_owner()
    out, err, failure = run(DATA / "bad.csv")
    lines = out.splitlines()
    assert lines[0].split() == ["row", "line", "column", "what", "is", "wrong"]
    assert lines[1].split(maxsplit=3) == ["3", "3", "Owner", "This must be filled in."]
    assert len(lines) == 1 + 18
    assert err == "Columns left aside: Rack\n"
    assert failure == "2 good rows, 7 bad ones. 0 hulls taken in."
    assert not Hull.objects.exists()


def test_good_rows_are_kept_on_request_and_the_command_still_fails() -> None:
    a_shop()
    the_shop_owner()
    _, _, failure = run(DATA / "bad.csv", "--keep-good")
    assert failure == "2 good rows, 7 bad ones. 2 hulls taken in."
    assert Hull.objects.count() == 2


def test_a_dry_run_says_so_and_writes_nothing() -> None:
    a_shop()
    the_shop_owner()
    out, _, failure = run(DATA / "us.csv", "--dry-run")
    assert (out, failure) == ("3 good rows, 0 bad ones. Dry run: nothing was written.\n", "")
    assert not Hull.objects.exists()


def test_the_order_of_dates_is_named() -> None:
    a_shop()
    the_shop_owner()
    assert run(DATA / "semicolons-windows-1252.csv", "--dry-run")[2].startswith("0 good rows, 2 bad ones.")
    assert run(DATA / "semicolons-windows-1252.csv", "--date-order", "dmy")[2] == ""
    assert Hull.objects.get(tag="K/12").arrived_on.isoformat() == "2026-03-09"


def test_another_person_can_be_named() -> None:
    a_shop()
    the_shop_owner()
    hand = a_crew_member("hand")
    assert run(DATA / "us.csv", "--by", "hand")[2] == ""
    assert set(Entry.objects.values_list("by", flat=True)) == {hand.pk}


@pytest.mark.parametrize("options", [(), ("--by", "screen"), ("--by", "nobody")])
def test_nobody_who_may_take_in_hulls_is_an_error(options: tuple[str, ...]) -> None:
    a_shop()
    a_crew_member("screen", Role.LOOK)
    assert "Nobody of that name" in run(DATA / "us.csv", *options)[2]


def test_a_file_that_is_not_there_and_one_that_is_no_sheet_are_errors(tmp_path: Path) -> None:
    a_shop()
    the_shop_owner()
    assert "cannot be read" in run(tmp_path / "none.csv")[2]
    (tmp_path / "empty.csv").write_text("")
    assert run(tmp_path / "empty.csv")[2] == "The file is empty."
    (tmp_path / "other.csv").write_text("a,b\n1,2\n")
    assert "The first line names no column for: tag, owner" in run(tmp_path / "other.csv")[2]


def test_nothing_in_a_file_can_steer_the_terminal(tmp_path: Path) -> None:
    a_shop()
    the_shop_owner()
    title, cell = "No\x1b[2Jtes", "\x1b]0;owned\x07"
    (tmp_path / "odd.csv").write_text(f"{HEADER},{title},email\nH-1,{cell},{cell},1,1,1,x,{cell}\n")
    out, err, failure = run(tmp_path / "odd.csv")
    assert "\x1b" not in out + err + failure
    assert "\x07" not in out + err + failure
