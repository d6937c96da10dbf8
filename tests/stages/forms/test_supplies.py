"""The questions of the supplies page: what the address may hold, its short form, and links altered by hand."""

from typing import Any
from urllib.parse import parse_qs

import pytest
from django.http import QueryDict
from hypothesis import given
from hypothesis import strategies as st

from hulls.lines import HULL_TYPES
from shop.units import UnitSystem
from stages.advice import Finish, Outside
from stages.engine.vocab import Damage
from stages.forms.supplies import SuppliesForm

METRIC, US = UnitSystem.METRIC, UnitSystem.US
BOAT = {"length": "16' 2 1/2\"", "beam": "34½ in", "depth": "31 cm", "ends": "0,6 m"}


def asked(units: UnitSystem = METRIC, /, **said: Any) -> SuppliesForm:
    query = QueryDict(mutable=True)
    query.update({name: str(value) for name, value in (BOAT | said).items()})
    return SuppliesForm(query, units=units)


def again(form: SuppliesForm, units: UnitSystem) -> SuppliesForm:
    return SuppliesForm(QueryDict(form.canonical()), units=units)


def test_measures_are_read_as_people_write_them_each_in_its_own_unit() -> None:
    """The foot is 0.3048 m and the inch 25.4 mm, exactly (international yard and pound agreement, 1959)."""
    form = asked()
    assert form.is_valid(), form.errors
    hull = form.principal
    assert hull.length_m == pytest.approx(16 * 0.3048 + 2.5 * 0.0254)
    assert hull.beam_m == pytest.approx(34.5 * 0.0254)
    assert (hull.depth_m, hull.end_depth_m) == (0.31, 0.6)


def test_what_is_not_said_is_the_usual_and_does_not_stand_in_the_link() -> None:
    form = asked()
    assert form.is_valid()
    assert form.answers.outside is Outside.LATEX
    assert form.cleaned_data["air"] == 20.0
    assert set(parse_qs(form.canonical())) == {*BOAT, "units"}
    longer = asked(outside="latex", ribs="0", air="", type=next(iter(HULL_TYPES)))
    assert longer.is_valid()
    assert longer.canonical() == form.canonical()


@pytest.mark.parametrize(("air", "read"), [("20", 20.0), ("68 F", 20.0), ("54 °F", pytest.approx(12.222, abs=1e-3))])
def test_a_temperature_goes_into_the_link_with_its_unit(air: str, read: float) -> None:
    form = asked(air=air)
    assert form.is_valid()
    assert form.cleaned_data["air"] == read
    assert parse_qs(form.canonical())["air"][0].endswith("C")
    in_us = asked(US, air=air)
    assert in_us.is_valid()
    assert parse_qs(in_us.canonical())["air"][0].endswith("F")


def test_a_link_reads_the_same_in_a_shop_of_other_units() -> None:
    form = asked(US, air="61", rh="70 %", ribs=3)
    assert form.is_valid()
    shared = again(form, METRIC)
    assert shared.is_valid()
    assert shared.cleaned_data["units"] == "us"
    assert shared.cleaned_data["air"] == pytest.approx(form.cleaned_data["air"], abs=0.02)
    assert shared.canonical() == form.canonical()


@given(
    outside=st.sampled_from(Outside),
    inside=st.sampled_from(Finish),
    brightwork=st.sampled_from(Finish),
    kind=st.sampled_from(list(HULL_TYPES)),
    ribs=st.integers(0, 200),
    air_c=st.integers(-200, 450).map(lambda tenths: tenths / 10),
    rh=st.integers(0, 100),
    units=st.sampled_from(UnitSystem),
)
def test_the_link_holds_all_that_was_said(air_c: float, kind: str, units: UnitSystem, **said: Any) -> None:
    form = asked(units, type=kind, air=f"{air_c} C", units=units, **said)
    assert form.is_valid(), form.errors
    shared = again(form, METRIC)
    assert shared.is_valid(), shared.errors
    assert shared.answers == form.answers
    assert shared.principal == form.principal
    assert shared.hull_type is form.hull_type
    assert shared.cleaned_data["air"] == pytest.approx(form.cleaned_data["air"], abs=0.06)  # four digits
    assert shared.cleaned_data["rh"] == form.cleaned_data["rh"]
    assert shared.canonical() == form.canonical()
    assert len(form.canonical()) < 2000  # what is kept of it


@pytest.mark.parametrize(
    ("field", "value", "says"),
    [
        ("length", "", "Write this measure"),
        ("length", "16", "has no unit"),
        ("length", "1,234 ft", "two ways"),
        ("length", "16 ft" * 20, "at most 40"),
        ("length", "16 ft\x00", "Null characters are not allowed"),
        ("length", "-3 m", "is negative"),
        ("length", "90 m", "between 2.4 m"),
        ("beam", "2,4 m", "A canoe is between 0.5 m"),
        ("beam", "beam", "is not a length"),
        ("depth", "95 cm", "between 0.15 m"),
        ("ends", "25 cm", "must stand at least as high"),
        ("type", "barge", "“barge” is none of the choices"),
        ("outside", "epoxy", "“epoxy” is none of the choices"),
        ("inside", "<script>", "&lt;script&gt;"),
        ("brightwork", "x", "none of the choices"),
        ("units", "roman", "none of the choices"),
        ("ribs", "-1", "from 0 to 200"),
        ("ribs", "201", "from 0 to 200"),
        ("ribs", "9" * 400, "from 0 to 200"),
        ("seats", "two", "from 0 to 200"),
        ("air", "warm", "is not a temperature"),
        ("air", "-21 C", "Nobody paints in that"),
        ("air", "46 C", "Nobody paints in that"),
        ("rh", "101", "from 0 to 100"),
        ("rh", "dry", "in per cent"),
    ],
)
def test_a_link_that_was_altered_is_refused_by_the_field_and_the_rest_is_kept(
    field: str, value: str, says: str
) -> None:
    form = asked(METRIC, **{"planks": "3", field: value})
    assert not form.is_valid()
    assert set(form.errors) == {field}
    assert says in str(form.errors[field])
    for name, typed in BOAT.items():
        if name != field:
            assert form[name].value() == typed
    assert form["planks"].value() == "3"


@pytest.mark.parametrize("value", ["0", "200"])
def test_a_count_at_its_limits_is_taken(value: str) -> None:
    form = asked(ribs=value)
    assert form.is_valid()
    assert form.answers.count(Damage.RIBS) == int(value)


def test_other_names_in_the_address_say_nothing() -> None:
    assert not SuppliesForm(QueryDict("utm_source=x&page=3"), units=METRIC).is_bound


def test_what_was_said_is_told_to_the_shop_in_words() -> None:
    form = asked(ribs=4, air="12 C")
    assert form.is_valid()
    said = dict(form.said())
    assert said["Length over all"] == "16' 2 1/2\""
    assert said["Outside"] == "New canvas, latex filler"
    assert said["Ribs"] == "4"
    assert said["Temperature"] == "12C"
    assert "Show amounts in" not in said
