"""`manage.py dryclock`: the arithmetic of the dry clock from a file."""

import json
import os
from datetime import UTC, datetime, timedelta
from io import StringIO
from pathlib import Path

import pytest
import time_machine
from django.core.management import CommandError, call_command

from shop.models import Product
from stages.engine.dryclock import age
from stages.management.airfile import read_air
from stages.queries.world import around
from stages.services.dryness import record_dryness
from tests.factories import a_shop, hand, product
from tests.stages.at_work import a_primed_hull

NOON = datetime(2026, 6, 10, 12, 0, tzinfo=UTC)
AT_EIGHT = datetime(2026, 1, 5, 8, 0, tzinfo=UTC)
APPLIED = ("--applied", AT_EIGHT.isoformat())
SIXTEEN = ("--hours", "16", "--at-temp", "23C")


def a_file(path: Path, *rows: tuple[str, float, float], heading: str = "at,temp_c,rh_pct") -> str:
    path.write_text("\n".join([heading, *(",".join(map(str, row)) for row in rows)]) + "\n")
    return str(path)


@pytest.fixture
def steady(tmp_path: Path) -> str:
    """Two days at 13 °C, 50 %, read every four hours."""
    moments = [f"2026-01-{5 + (8 + h) // 24:02}T{(8 + h) % 24:02}:00:00Z" for h in range(0, 49, 4)]
    return a_file(tmp_path / "air.csv", *((at, 13.0, 50.0) for at in moments))


def clock(*arguments: str) -> dict[str, object]:
    out = StringIO()
    call_command("dryclock", *arguments, "--json", stdout=out)
    found: dict[str, object] = json.loads(out.getvalue())
    return found


def test_ten_kelvin_colder_takes_twice_as_long(steady: str) -> None:
    # van 't Hoff's rule: 16 h at 23 °C are 32 h at 13 °C.
    assert clock(*SIXTEEN, *APPLIED, "--readings", steady, "--until", "2026-01-06T00:00Z") == {
        "age_h": 8.0,
        "needed_h": 16.0,
        "dry": False,
        "dry_at": "2026-01-06T16:00:00+00:00",
        "assumed_h": 0.0,
    }


def test_it_asks_about_the_last_reading_by_itself(steady: str) -> None:
    found = clock(*SIXTEEN, *APPLIED, "--readings", steady)
    assert (found["age_h"], found["dry"]) == (24.0, True)


def test_the_label_s_table_goes_before_the_rule(steady: str) -> None:
    # Log-linear between 10 °C and 23 °C: at 13 °C, 36 (16/36)^(3/13) = 29.86 h.
    found = clock(*SIXTEEN, "--label", "10C:36h,23C:16h,35C:9h", *APPLIED, "--readings", steady)
    assert found["age_h"] == pytest.approx(48.0 * 16.0 / (36.0 * (16.0 / 36.0) ** (3.0 / 13.0)), abs=1e-4)


@pytest.mark.parametrize(
    ("arguments", "age_h"),
    [
        (("--q10", "3"), 16.0),
        (("--family", "solvent"), 24.0),
        # From the deficit at 13 °C over that at 23 °C, both 50 %: 1497.5 / 2809.8 (ASHRAE saturation pressures, Pa).
        (("--family", "water"), 48.0 * 1497.5 / 2809.8),
        (("--lowest", "14C"), 0.0),
        (("--lowest", "13C"), 24.0),
    ],
)
def test_families_rules_and_lowest_temperature(steady: str, arguments: tuple[str, ...], age_h: float) -> None:
    assert clock(*SIXTEEN, *arguments, *APPLIED, "--readings", steady)["age_h"] == pytest.approx(age_h, rel=2e-3)


def test_a_coat_that_never_dries_has_no_moment(steady: str) -> None:
    found = clock(*SIXTEEN, "--lowest", "14C", *APPLIED, "--readings", steady)
    assert (found["dry"], found["dry_at"]) == (False, None)


def test_a_label_for_colder_air_than_usual_speaks_for_itself(steady: str) -> None:
    # At 13 °C, 10 K over the label's 3 °C: twice as fast (van 't Hoff's rule).
    assert clock("--hours", "16", "--at-temp", "3C", *APPLIED, "--readings", steady)["age_h"] == 96.0
    with pytest.raises(CommandError, match="over its lowest"):
        clock("--hours", "16", "--at-temp", "3C", "--lowest", "5C", *APPLIED, "--readings", steady)


def test_a_table_that_gives_hours_for_colder_air_than_usual_speaks_for_itself(tmp_path: Path) -> None:
    path = a_file(tmp_path / "air.csv", ("2026-01-05T08:00Z", 2, 50), ("2026-01-06T08:00Z", 2, 50))
    there = (*SIXTEEN, *APPLIED, "--readings", path)
    assert clock(*there, "--label", "2C:48h,23C:16h")["age_h"] == 8.0  # a third of the speed
    assert clock(*there)["age_h"] == 0.0


def test_the_table_says_how_long_it_stood_still_for_cold(tmp_path: Path) -> None:
    # From 7 °C straight down to 3 °C in eight hours: the second half lies under 5 °C.
    path = a_file(tmp_path / "air.csv", ("2026-01-05T08:00Z", 7, 50), ("2026-01-05T16:00Z", 3, 50))
    out = StringIO()
    call_command("dryclock", *SIXTEEN, *APPLIED, "--readings", path, stdout=out)
    last = out.getvalue().splitlines()[-1]
    assert last.startswith("Hours under 5 °C, in which it stands still")
    assert last.endswith(" 4.00")
    assert "still_h" not in clock(*SIXTEEN, *APPLIED, "--readings", path)


@pytest.mark.parametrize("hours", ["7.3", "10.01", "11.1111", "15.9999", "16"])
def test_it_is_dry_at_the_moment_that_it_names(steady: str, hours: str) -> None:
    there = ("--hours", hours, "--at-temp", "23C", *APPLIED, "--readings", steady)
    named = str(clock(*there)["dry_at"])
    assert clock(*there, "--until", named)["dry"] is True
    second_before = (datetime.fromisoformat(named) - timedelta(seconds=1)).isoformat()
    assert clock(*there, "--until", second_before)["dry"] is False


def test_temperature_runs_straight_between_readings(tmp_path: Path) -> None:
    # From 13 to 23 °C in four hours: the mean of 2^((T - 23)/10) is 1 / (2 ln 2), in closed form.
    path = a_file(tmp_path / "air.csv", ("2026-01-05T08:00Z", 13, 50), ("2026-01-05T12:00Z", 23, 50))
    found = clock(*SIXTEEN, *APPLIED, "--readings", path)
    assert found["age_h"] == pytest.approx(4.0 * 0.72134752, abs=1e-4)


def test_readings_out_of_order_and_twice_and_other_columns_change_nothing(tmp_path: Path) -> None:
    rows = [("2026-01-05T12:00Z", 23, 50), ("2026-01-05T08:00Z", 13, 50), ("2026-01-05T08:00Z", 13, 50)]
    path = tmp_path / "air.csv"
    path.write_text("\ufeffat,rh_pct,note,temp_c\n" + "".join(f"{at},{rh},x,{c}\n" for at, c, rh in rows))
    assert clock(*SIXTEEN, *APPLIED, "--readings", str(path))["age_h"] == pytest.approx(4.0 * 0.72134752, abs=1e-4)


def test_hours_in_a_long_gap_are_assumed(tmp_path: Path) -> None:
    path = a_file(tmp_path / "air.csv", ("2026-01-05T08:00Z", 23, 50), ("2026-01-05T18:00Z", 23, 50))
    assert clock(*SIXTEEN, *APPLIED, "--readings", path)["assumed_h"] == 10.0


def test_moments_without_offset_follow_the_zone_over_the_change_of_its_clocks(tmp_path: Path) -> None:
    # Berlin, night of 29 March 2026: 20:00 and 16 hours later is 13:00.
    path = a_file(tmp_path / "air.csv", ("2026-03-28T20:00", 23, 50), ("2026-03-29T14:00", 23, 50))
    found = clock(*SIXTEEN, "--applied", "2026-03-28T20:00", "--readings", path, "--zone", "Europe/Berlin")
    assert found["dry_at"] == "2026-03-29T13:00:00+02:00"
    assert found["age_h"] == 17.0


def test_the_hour_that_comes_twice_in_autumn_is_counted_twice(tmp_path: Path) -> None:
    # Berlin, 25 October 2026: at 03:00 summer time the clocks go back to 02:00, which is 3 h after midnight.
    shown = ("00:00", "00:30", "01:00", "01:30", "02:00", "02:30", "02:00", "02:30", "03:00")
    warmth = (13, 13, 13, 13, 13, 13, 23, 23, 23)  # 2.5 h at half speed, half an hour between, 1 h at full speed
    path = a_file(tmp_path / "air.csv", *((f"2026-10-25T{at}", c, 50) for at, c in zip(shown, warmth, strict=True)))
    there = ("--applied", "2026-10-25T00:00", "--readings", path, "--zone", "Europe/Berlin")
    found = clock("--hours", "4", *there, "--until", "2026-10-25T03:00")
    assert found["age_h"] == pytest.approx(1.25 + 0.5 * 0.72134752 + 1.0, abs=1e-4)
    reached = 1.25 + 0.5 * 0.72134752  # and that is where the clock shows 02:00 for the second time
    found = clock("--hours", f"{reached:.8f}", *there, "--until", "2026-10-25T02:30")
    assert (found["dry"], found["dry_at"]) == (False, "2026-10-25T02:00:00+01:00")
    assert clock("--hours", "1.6", *there, "--until", "2026-10-25T02:30+01:00")["dry"] is True


def test_fahrenheit_labels(steady: str) -> None:
    fahrenheit = clock(
        "--hours", "16", "--at-temp", "73.4F", "--label", "50F:36h,73.4F:16h", *APPLIED, "--readings", steady
    )
    celsius = clock("--hours", "16", "--at-temp", "23C", "--label", "10C:36h,23C:16h", *APPLIED, "--readings", steady)
    assert fahrenheit["age_h"] == pytest.approx(celsius["age_h"])


def test_it_shows_a_table(steady: str) -> None:
    out = StringIO()
    call_command("dryclock", *SIXTEEN, *APPLIED, "--readings", steady, stdout=out)
    lines = out.getvalue().splitlines()
    assert len(lines) == 5
    assert lines[0].endswith("24.00")
    assert lines[2].startswith("Dry at 2026-01-07 08:00")
    assert lines[2].endswith("yes")


@pytest.mark.django_db
def test_a_product_of_the_shop(steady: str) -> None:
    Product.objects.create(
        name="test alkyd enamel",
        kind="enamel",
        family="oxidative",
        recoat_h=16.0,
        sand_h=24.0,
        reference_c=23.0,
        q10=2.0,
    )
    named = ("--product", "Test alkyd enamel", *APPLIED, "--readings", steady)
    assert clock(*named)["needed_h"] == 16.0
    assert clock(*named, "--to", "sand")["needed_h"] == 24.0
    assert clock(*named, "--to", "sand")["dry"] is True


@pytest.mark.django_db
@time_machine.travel(NOON, tick=False)
def test_a_product_takes_what_the_shop_has_learnt_of_it(steady: str) -> None:
    a_shop()
    hull = a_primed_hull("H-8", coat_at=NOON - timedelta(hours=16))
    record_dryness(hull_id=hull.pk, surface="skin", seen="tacky", hand=hand(at=NOON))
    primer = around().world.products[product("primer").pk]
    assert primer.label
    assert primer.factor > 1.0
    found = clock("--product", primer.name, *APPLIED, "--readings", steady)
    with_label = age(primer.label, read_air(Path(steady), UTC), AT_EIGHT, AT_EIGHT + timedelta(hours=48)).hours
    assert found["age_h"] == pytest.approx(with_label / primer.factor, abs=1e-6)


@pytest.mark.django_db
def test_a_product_that_the_shop_has_not(steady: str) -> None:
    with pytest.raises(CommandError, match="no drying product"):
        clock("--product", "moonshine", *APPLIED, "--readings", steady)


@pytest.mark.parametrize(
    ("content", "why"),
    [
        ("at,temp_c\n2026-01-05T08:00Z,13\n", "lacks the columns rh_pct"),
        ("", "lacks the columns"),
        ("at,temp_c,rh_pct\n2026-01-05T08:00Z,13,50\n2026-01-05T09:00Z,13,101\n", "Line 3"),
        ("at,temp_c,rh_pct\n2026-01-05T08:00Z,60,50\n", "Line 2"),
        ("at,temp_c,rh_pct\n2026-01-05T08:00Z,nan,50\n", "Line 2"),
        ("at,temp_c,rh_pct\n2026-01-05T08:00Z,13\n", "Line 2"),
        ("at,temp_c,rh_pct\nyesterday,13,50\n", "yesterday"),
        ("at,temp_c,rh_pct\n0001-01-01T00:00+01:00,13,50\n", "Line 2"),
    ],
)
def test_a_bad_file_is_refused_with_its_line(tmp_path: Path, content: str, why: str) -> None:
    path = tmp_path / "air.csv"
    path.write_text(content)
    with pytest.raises(CommandError, match=why):
        clock(*SIXTEEN, *APPLIED, "--readings", str(path))


def test_a_file_of_bytes_is_refused(tmp_path: Path) -> None:
    path = tmp_path / "air.csv"
    path.write_bytes(bytes(range(256)) * 10)
    with pytest.raises(CommandError):
        clock(*SIXTEEN, *APPLIED, "--readings", str(path))


def test_a_pipe_that_nobody_fills_is_not_waited_for(tmp_path: Path) -> None:
    path = tmp_path / "air.csv"
    os.mkfifo(path)
    with pytest.raises(CommandError, match="is not a file"):
        clock(*SIXTEEN, *APPLIED, "--readings", str(path))


@pytest.mark.parametrize("path", ["/dev/zero", "/"])
def test_only_a_file_is_read(path: str) -> None:
    with pytest.raises(CommandError, match="is not a file"):
        clock(*SIXTEEN, *APPLIED, "--readings", path)


def test_a_file_without_line_ends_is_not_taken_in_whole(tmp_path: Path) -> None:
    path = tmp_path / "air.csv"
    path.write_text("at,temp_c,rh_pct\n" + 200_000 * "2026-01-05T08:00Z,13,50 ")
    with pytest.raises(CommandError, match="Line 2: It is too long"):
        clock(*SIXTEEN, *APPLIED, "--readings", str(path))


@pytest.mark.parametrize(
    "changed",
    [
        ("--hours", "0"),
        ("--hours", "long"),
        ("--at-temp", "warm"),
        ("--label", "10C"),
        ("--label", "10C:36h,10C:30h"),
        ("--q10", "0"),
        ("--applied", "yesterday"),
        ("--readings", "/nowhere/air.csv"),
        ("--zone", "Mars/Olympus"),
        ("--q10", "2", "--label", "10C:36h"),
        ("--product", "varnish", "--hours", "16"),
    ],
)
def test_it_refuses_what_cannot_be(steady: str, changed: tuple[str, ...]) -> None:
    with pytest.raises(CommandError):
        clock(*SIXTEEN, *APPLIED, "--readings", steady, *changed)
