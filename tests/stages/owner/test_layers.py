from dataclasses import replace
from datetime import date

import pytest
from django.utils import translation

from hulls.models import Hull
from hulls.skin_section import Layer
from stages.engine.assess import assess
from stages.engine.state import StageRecord
from stages.engine.vocab import Damage
from stages.engine.work import Work
from stages.owner.layers import JUST_ON, Skin
from tests.stages.engine.trade import NOW, a_coat, a_route, a_work, later, product, stage

ENAMEL_ALONE = a_route(replace(stage("enamel"), after=()))
HULL = Hull(colour="#2f5d46", colour_name="spruce green")


def layers(work: Work, *photo_days: date) -> tuple[Layer, ...]:
    skin = Skin(hull=HULL, work=work, statuses=assess(work, NOW), today=NOW.date(), photo_days=photo_days)
    return skin.layers()


def labels(work: Work) -> list[tuple[str, str]]:
    return [(layer.name, layer.note) for layer in layers(work)]


def test_a_bare_boat_shows_what_is_planned_from_the_inside_outward() -> None:
    assert labels(a_work()) == [
        ("Varnish", "2 coats, planned"),
        ("Sealer", "3 coats, planned"),
        ("Ribs", ""),
        ("Planking", ""),
        ("Oil", "planned"),
        ("Canvas", "planned"),
        ("Preservative", "planned"),
        ("Latex filler", "3 coats, planned"),
        ("Primer", "2 coats, planned"),
        ("Enamel, spruce green", "3 coats, planned"),
    ]
    assert {layer.share for layer in layers(a_work()) if layer.note} == {0}


def test_what_the_plan_has_a_day_for_says_about_when() -> None:
    june = date(NOW.year, 6, 4)
    skin = Skin(
        hull=HULL, work=a_work(), statuses=assess(a_work(), NOW), today=NOW.date(), planned={"oil": june, "prime": june}
    )
    notes = {layer.name: layer.note for layer in skin.layers()}
    assert notes["Oil"] == "planned · about 4 June"
    assert notes["Primer"] == "2 coats, planned · about 4 June"
    assert notes["Canvas"] == "planned"


def test_only_the_filler_that_the_owner_chose_is_planned() -> None:
    names = [name for name, _ in labels(a_work(choices={"filler": "oil", "inside": "after"}))]
    assert "Oil-based filler" in names
    assert "Latex filler" not in names


def test_a_step_that_was_left_out_is_not_planned() -> None:
    work = a_work(records={"preserve": StageRecord(left_out="none wanted")})
    assert "Preservative" not in [name for name, _ in labels(work)]


def test_a_finished_step_is_one_layer_with_its_days() -> None:
    coats = [replace(a_coat("primer", hours_ago=h, of="prime"), number=n) for n, h in ((1, 72), (2, 48))]
    assert ("Primer", "2 coats · 12 to 13 May") in labels(a_work(coats=coats, finished=["prime"]))


def test_a_step_in_hand_shows_each_coat_the_drying_one_by_its_share_and_what_is_left() -> None:
    coats = [replace(a_coat("enamel", hours_ago=h, sanded=n == 1, of="enamel"), number=n) for n, h in ((1, 48), (2, 4))]
    work = a_work(
        coats=coats,
        at="finishing",
        route=ENAMEL_ALONE,
        records={"enamel": StageRecord(started_at=later(-50), coats_on=2)},
    )
    first, second, left = layers(work)[-3:]
    assert [layer.note for layer in (first, second, left)] == [
        "coat 1 of 3 · 13 May",
        "coat 2 of 3 · drying",
        "last coat, planned",
    ]
    assert (first.share, left.share) == (1, 0)
    assert second.share == 4 / 16  # of the 16 h to sand on the label, at the label's own air


def test_a_coat_of_this_minute_is_there_though_nothing_of_it_is_dry() -> None:
    coats = [a_coat("enamel", hours_ago=0, of="enamel")]
    work = a_work(
        coats=coats,
        at="finishing",
        route=ENAMEL_ALONE,
        records={"enamel": StageRecord(started_at=later(-1), coats_on=1)},
    )
    on, left = layers(work)[-2:]
    assert (on.share, on.note, left.note) == (JUST_ON, "coat 1 of 3 · drying", "2 more coats, planned")


def test_enamel_has_the_boat_s_own_colour_unless_its_pot_has_one() -> None:
    coats = [a_coat("enamel", of="enamel")]
    plain = layers(a_work(coats=coats, finished=["enamel"], route=ENAMEL_ALONE))[-1]
    assert (plain.name, plain.colour) == ("Enamel, spruce green", "#2f5d46")
    work = a_work(coats=coats, finished=["enamel"], route=ENAMEL_ALONE)
    red = {product("enamel").id: replace(product("enamel"), colour="#8d3b24")}
    tinted = layers(replace(work, world=replace(work.world, products={**work.world.products, **red})))[-1]
    assert (tinted.name, tinted.colour) == ("Enamel", "#8d3b24")


def test_the_wood_says_what_was_replaced_once_it_is() -> None:
    counts = {Damage.RIBS: 4, Damage.PLANKS: 9}
    records = {"ribs": StageRecord(started_at=later(-48), finished_at=later(-24))}
    notes = dict(labels(a_work(counts=counts, records=records)))
    assert (notes["Ribs"], notes["Planking"]) == ("4 replaced · 14 May", "9 to be replaced")


def test_a_layer_leads_to_the_photos_of_its_day() -> None:
    coat = a_coat("canvas", hours_ago=48, of="canvas")
    work = a_work(coats=[coat], finished=["canvas"])
    day = coat.at.date()
    assert {layer.name: layer.href for layer in layers(work, day)}["Canvas"] == "#2031-05-13"
    assert {layer.href for layer in layers(work)} == {""}


@pytest.mark.parametrize(("count", "said"), [(1, "1 remplacée · 14 mai"), (4, "4 remplacées · 14 mai")])
def test_in_french_one_rib_is_replaced_as_one(count: int, said: str) -> None:
    records = {"ribs": StageRecord(started_at=later(-48), finished_at=later(-24))}
    with translation.override("fr"):
        assert dict(labels(a_work(counts={Damage.RIBS: count}, records=records)))["Membrures"] == said
