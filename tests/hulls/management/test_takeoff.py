"""The take-off at the command line: the four measures or a table in, sizes and supplies out, plain words for errors."""

import json
import math
import os
from pathlib import Path
from typing import Any

import pytest
from django.core.management import CommandError, call_command

from hulls.lines import HULL_TYPES
from hulls.materials import usual_materials
from shop.models import Product
from tests.factories import a_shop
from tests.hulls.lines.tables import half_ellipsoid

pytestmark = pytest.mark.django_db

SIXTEEN = {"length": "16 ft", "beam": "34.5 in", "depth": "12.5 in", "end_depth": "24 in"}


def told(capsys: pytest.CaptureFixture[str], **options: Any) -> str:
    call_command("takeoff", **options)
    return capsys.readouterr().out


def found(capsys: pytest.CaptureFixture[str], **options: Any) -> dict[str, Any]:
    answer: dict[str, Any] = json.loads(told(capsys, json=True, **options))
    return answer


def refused(**options: Any) -> str:
    with pytest.raises(CommandError) as error:
        call_command("takeoff", **options)
    return str(error.value)


def half_cylinder(path: Path, radius_m: float = 0.4, length_m: float = 5.0, points: int = 181) -> Path:
    """A table of a half cylinder: two stations, so many points each."""
    angles = [math.pi / 2 * n / (points - 1) for n in range(points)]
    rows = [
        f"{x},{radius_m - radius_m * math.cos(a)},{radius_m * math.sin(a)}" for x in (0.0, length_m) for a in angles
    ]
    path.write_text("station_m,height_m,half_breadth_m\n" + "\n".join(rows) + "\n")
    return path


def test_it_gives_sizes_canvas_and_items_of_four_measures(capsys: pytest.CaptureFixture[str]) -> None:
    answer = found(capsys, **SIXTEEN)
    assert answer["canvas"]["roll_width_in"] == 60
    assert answer["canvas"]["width_needed_m"] < 60 * 0.0254
    assert 4.877 + 0.5 < answer["canvas"]["blank_length_m"] < 6.0
    # The blank of No. 10 duck at 9 oz for 36 by 22 in: the rule of the standard for numbered cotton duck.
    kg_m2 = 9 * 0.028349523125 / (36 * 22 * 0.0254**2)
    blank_m2 = answer["canvas"]["blank_length_m"] * 60 * 0.0254
    assert answer["canvas"]["weight_kg"] == pytest.approx(blank_m2 * kg_m2)
    assert {"outside_area_m2", "greatest_girth_m", "sheer_length_m", "volume_m3", "spread_pct"} < set(answer)
    for item in answer["items"]:
        assert set(item) == {"product", "amount", "unit", "packs"}
        assert sum(pack["count"] * pack["amount"] for pack in item["packs"]) >= item["amount"] - 0.0005
    assert answer["unknown"] == []


def test_a_table_of_a_half_cylinder_gives_its_area_girth_and_volume(
    capsys: pytest.CaptureFixture[str], tmp_path: Path
) -> None:
    answer = found(capsys, offsets=half_cylinder(tmp_path / "cylinder.csv"))
    # Closed form: pi r L, pi r, pi r² L / 2; within 0.1 %, for the chords between the points.
    assert answer["outside_area_m2"] == pytest.approx(6.283185, rel=1e-3)
    assert answer["greatest_girth_m"] == pytest.approx(math.pi * 0.4, rel=1e-3)
    assert answer["volume_m3"] == pytest.approx(math.pi * 0.4**2 * 5 / 2, rel=1e-3)
    assert answer["sheer_length_m"] == pytest.approx(5.0)


def test_a_table_of_more_than_a_canoe_is_reckoned_and_the_caution_stands_beside_the_json(
    capsys: pytest.CaptureFixture[str], tmp_path: Path
) -> None:
    path = tmp_path / "ellipsoid.csv"
    points = "\n".join(f"{x},{height},{breadth}" for x, height, breadth in half_ellipsoid(3, 2, 1))
    path.write_text(f"station_m,height_m,half_breadth_m\n{points}\n")

    call_command("takeoff", offsets=path, json=True)
    said = capsys.readouterr()

    # Half of the exact area of an ellipsoid by elliptic integrals (NIST DLMF 19.33.2).
    assert json.loads(said.out)["outside_area_m2"] == pytest.approx(48.882146 / 2, rel=1e-3)
    assert "Caution: 4 m wide" in said.err
    assert "Caution: 4 m wide" in told(capsys, offsets=path)


def test_without_json_it_is_a_table_to_read(capsys: pytest.CaptureFixture[str]) -> None:
    text = told(capsys, **SIXTEEN, ribs=3)
    assert "Cotton duck, No. 10, 60 in, " in text
    assert "or Cotton duck, No. 12, 84 in, " in text
    assert "Latex canvas filler" in text
    assert "White cedar, rib stock" in text


@pytest.mark.parametrize("key", sorted(HULL_TYPES))
def test_every_type_of_hull_can_be_named(capsys: pytest.CaptureFixture[str], key: str) -> None:
    area_m2 = found(capsys, **SIXTEEN, type=key)["outside_area_m2"]
    assert area_m2 > 0
    assert found(capsys, **SIXTEEN, type=f" {key.title()}")["outside_area_m2"] == area_m2


def test_the_shop_s_own_products_are_used_where_there_is_a_shop(capsys: pytest.CaptureFixture[str]) -> None:
    a_shop()
    Product.objects.filter(kind="enamel", usual=True).update(name="Enamel of the house")
    assert "Enamel of the house" in {item["product"] for item in found(capsys, **SIXTEEN)["items"]}


def test_a_product_that_cannot_be_reckoned_with_makes_its_kind_unknown(capsys: pytest.CaptureFixture[str]) -> None:
    a_shop()
    Product.objects.filter(kind="abrasive", grit=80).update(grit=81)
    assert found(capsys, **SIXTEEN)["unknown"] == ["abrasive"]


def test_a_new_shop_finds_on_its_shelves_what_the_command_knows_without_one() -> None:
    a_shop()
    assert {material.name for material in usual_materials()} == set(Product.objects.values_list("name", flat=True))


@pytest.mark.parametrize(
    ("changed", "says"),
    [
        ({"beam": "34.5"}, "has no unit"),
        ({"beam": "wide"}, "--beam"),
        ({"length": "-16 ft"}, "negative"),
        ({"length": "16 cm"}, "A canoe is between"),
        ({"beam": "16 ft"}, "A canoe is between"),
        ({"end_depth": "10 in"}, "at least as high"),
        ({"depth": None}, "--depth"),
        ({"type": "barge"}, "There is no type “barge”"),
        ({"type": ""}, "There is no type “”"),
        ({"ribs": -1}, "The number of ribs"),
    ],
)
def test_measures_that_cannot_be_are_refused_in_plain_words(changed: dict[str, Any], says: str) -> None:
    given = {name: value for name, value in {**SIXTEEN, **changed}.items() if value is not None}
    assert says in refused(**given)


@pytest.mark.parametrize(
    ("content", "says"),
    [
        (b"", "is empty"),
        (bytes(range(256)) * 20, "not a text file"),
        (b"station_m,height_m,half_breadth_m\n", "no rows"),
        (b"station_m,height_m,half_breadth_m\n0,0,0\n1,zero,0.2\n", "Line 3 (height_m)"),
        (b"station_m,height_m,half_breadth_m\n0,0,0\n0,0.3,0.4\n", "two stations at least"),
        (b"station_m,girth_m,half_breadth_m\n1,1.1,0.4\n2,1.3,0.44\n", "no column of heights"),
        (b"station_m,height_m,half_breadth_m\n" + b"0,0,0\n" * 900_000, "larger than 5 MB"),
    ],
)
def test_a_file_that_is_no_table_is_refused_in_plain_words(content: bytes, says: str, tmp_path: Path) -> None:
    path = tmp_path / "table.csv"
    path.write_bytes(content)
    assert says in refused(offsets=path)


def test_a_missing_file_a_folder_and_measures_beside_a_file_are_refused(tmp_path: Path) -> None:
    assert "No such file" in refused(offsets=tmp_path / "none.csv")
    assert "directory" in refused(offsets=tmp_path)
    table = half_cylinder(tmp_path / "table.csv")
    assert "leave out --beam" in refused(offsets=table, beam="34 in")


def test_a_pipe_is_refused_and_not_waited_for(tmp_path: Path) -> None:
    os.mkfifo(tmp_path / "pipe.csv")
    assert "is a pipe or a device" in refused(offsets=tmp_path / "pipe.csv")
