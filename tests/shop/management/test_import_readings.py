import io
from pathlib import Path

import pytest
from django.core.management import CommandError, call_command

from shop.models import RainFall, Reading, Sensor, Shop, WeatherDay, Zone

pytestmark = pytest.mark.django_db

GOOD = "at;temp F;rh\n01.03.2026 08:30;61,16;71\n01.03.2026 08:35;61,34;70,5\n"


@pytest.fixture(autouse=True)
def logger() -> Sensor:
    Shop.objects.create(pk=1, time_zone="Europe/Paris")
    return Sensor.objects.create(name="Logger", zone=Zone.objects.create(name="Loft"))


def run(file: Path, *options: str, sensor: str = "Logger") -> tuple[str, str, str]:
    """What the command prints, what it prints as errors, and how it fails ("" when it does not)."""
    out, err, failure = io.StringIO(), io.StringIO(), ""
    try:
        call_command("import_readings", str(file), "--sensor", sensor, *options, stdout=out, stderr=err)
    except CommandError as error:
        failure = str(error)
    return out.getvalue(), err.getvalue(), failure


def a_file(folder: Path, text: str) -> Path:
    file = folder / "readings.csv"
    file.write_text(text)
    return file


def test_a_good_file_is_taken_in_by_the_shops_clock(tmp_path: Path) -> None:
    out, err, failure = run(a_file(tmp_path, GOOD), "--date-order", "dmy")
    said = "2 rows are good. They run from 2026-03-01 08:30 to 2026-03-01 08:35.\n2 readings taken in.\n"
    assert (out, err, failure) == (said, "", "")
    reading = Reading.objects.earliest("at")
    assert (reading.at.isoformat(), reading.air_c, reading.by) == ("2026-03-01T07:30:00+00:00", 16.2, None)


def test_the_same_file_again_is_known(tmp_path: Path) -> None:
    run(a_file(tmp_path, GOOD), "--date-order", "dmy")
    out, _, failure = run(a_file(tmp_path, GOOD), "--date-order", "dmy")
    assert "0 readings taken in. 2 were on record already." in out
    assert failure == ""


def test_the_zone_of_the_logger_is_named(tmp_path: Path) -> None:
    run(a_file(tmp_path, GOOD), "--date-order", "dmy", "--time-zone", "UTC-05:00")
    assert Reading.objects.earliest("at").at.isoformat() == "2026-03-01T13:30:00+00:00"


def test_the_unit_is_named_where_the_file_says_none(tmp_path: Path) -> None:
    file = a_file(tmp_path, "at,temp,rh,note\n2026-03-01T08:30,61.16,71,x\n")
    _, err, failure = run(file, "--unit", "f")
    assert (err, failure) == ("Columns left aside: note\n", "")
    assert Reading.objects.get().air_c == 16.2


def test_bad_rows_are_listed_and_fail_the_command_while_good_ones_come_in(tmp_path: Path) -> None:
    file = a_file(tmp_path, "at,temp_c,rh_pct\n2026-03-01T08:30,11,71\nx,11,71\n2026-03-01T08:40,60,71\n")
    out, _, failure = run(file)
    lines = out.splitlines()
    assert lines[0].split() == ["row", "line", "column", "what", "is", "wrong"]
    assert [line.split()[:3] for line in lines[1:]] == [["3", "3", "at"], ["4", "4", "temp_c"]]
    assert "2 rows were left out." in failure
    assert Reading.objects.count() == 1


def test_a_dry_run_says_so_and_writes_nothing(tmp_path: Path) -> None:
    out, _, failure = run(a_file(tmp_path, GOOD), "--date-order", "dmy", "--dry-run")
    assert "This was a check: nothing was taken in." in out
    assert failure == ""
    assert not Reading.objects.exists()


@pytest.mark.parametrize("text", ["", "a,b\n1,2\n"])
def test_a_file_that_is_none_of_readings_fails_the_command(tmp_path: Path, text: str) -> None:
    assert run(a_file(tmp_path, text))[2]


def test_a_file_that_is_not_there_fails_the_command(tmp_path: Path) -> None:
    assert "cannot be read" in run(tmp_path / "none.csv")[2]


def test_an_unknown_sensor_fails_the_command_and_the_known_ones_are_named(tmp_path: Path) -> None:
    assert "Logger" in run(a_file(tmp_path, GOOD), sensor="Other")[2]


def test_an_unknown_zone_fails_the_command(tmp_path: Path) -> None:
    assert "is not a time zone" in run(a_file(tmp_path, GOOD), "--time-zone", "Europe/Nowhere")[2]


def test_nothing_in_a_file_can_steer_the_terminal(tmp_path: Path) -> None:
    out, err, failure = run(a_file(tmp_path, "at,temp_c,rh_pct,No\x1b[2Jte\n\x1b]0;owned\x07,1,1,x\n"))
    assert "\x1b" not in out + err + failure
    assert "\x07" not in out + err + failure


def test_a_file_of_many_handfuls_is_taken_in_whole(tmp_path: Path) -> None:
    rows = [f"2026-03-{1 + n // 1440:02d}T{n // 60 % 24:02d}:{n % 60:02d},{15 + n % 20 / 10},50" for n in range(2500)]
    out, _, failure = run(a_file(tmp_path, "at,temp_c,rh_pct\n" + "\n".join(rows)))
    assert "2500 readings taken in." in out
    assert failure == ""
    assert Reading.objects.count() == 2500


def a_gauge() -> Sensor:
    return Sensor.objects.create(name="Gauge", zone=Zone.objects.create(name="Yard", outdoors=True))


def hours(day: int, *, but: range = range(0), mm: float = 0.0) -> str:
    """A gauge's rows of a day, with the midnight that ends it; ``mm`` fell before nine."""
    return "".join(
        f"2026-03-{day + n // 24:02d} {n % 24:02d}:00,{mm * (n == 9)}\n" for n in range(1, 25) if n not in but
    )


def test_a_rain_gauges_file_says_which_days_were_dry_and_a_day_with_a_hole_in_it_is_unknown(tmp_path: Path) -> None:
    a_gauge()
    rows = "2026-03-01 00:00,0\n" + hours(1) + hours(2, mm=3.5) + hours(3, but=range(6, 14)) + hours(4)
    out, _, failure = run(a_file(tmp_path, f"at,rain_mm\n{rows}"), sensor="Gauge")
    assert ("89 readings taken in." in out, failure) == (True, "")
    days = WeatherDay.objects.order_by("day").values_list("day", "dry", "rain_mm")
    assert [(day.day, dry, mm) for day, dry, mm in days] == [(1, True, 0.0), (2, False, 3.5), (4, True, 0.0)]


def test_a_logger_outdoors_brings_air_and_rain_in_one_file(tmp_path: Path) -> None:
    a_gauge()
    out, _, _ = run(a_file(tmp_path, "at,temp_c,rh_pct,rain_mm\n2026-03-01T08:30,11,71,0.4\n"), sensor="Gauge")
    assert "2 readings taken in." in out
    assert (Reading.objects.get().air_c, RainFall.objects.get().rain_mm) == (11.0, 0.4)


def test_indoors_rain_is_left_aside_and_said_so_and_a_gauges_own_file_refused(tmp_path: Path) -> None:
    out, _, _ = run(a_file(tmp_path, "at,temp_c,rh_pct,rain_mm\n2026-03-01T08:30,11,71,0.4\n"))
    assert "The rain in 1 row was left aside: it does not rain in the zone of this sensor." in out
    assert "does not rain in the zone of Logger: Loft" in run(a_file(tmp_path, "at,rain\n2026-03-01T08:30,0\n"))[2]
    assert not RainFall.objects.exists()
