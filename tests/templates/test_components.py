"""The parts that pages are made of, rendered from plain values; no database."""

import re
from pathlib import Path

import pytest
from django import forms
from django.conf import settings
from django.core.paginator import Paginator
from django.template.loader import render_to_string
from django.utils.translation import override

from hulls.drawing import draw_hull, floor_scale
from hulls.lines import Principal
from hulls.skin_section import Layer, LayerKind, draw_section
from hulls.skins import SkinKind

HULL = Principal(length_m=4.88, beam_m=0.86, depth_m=0.31, end_depth_m=0.58)
SCALE = floor_scale([HULL])
COMPONENTS = sorted(Path(settings.BASE_DIR, "templates").rglob("*.html"))
SCRIPT = "<script>alert(1)</script>"


def render(component: str, **values: object) -> str:
    return render_to_string(f"components/{component}.html", values)


def a_place(**changes: object) -> dict[str, object]:
    place = {
        "href": "/hulls/H-104/",
        "drawing": draw_hull(HULL, SCALE, SkinKind.LATEX_FILLER),
        "label": "16 ft, latex filler",
        "tag": "H-104",
        "what": "Filler drying, coat 3",
        "when": "Thu 14:10",
        "now": False,
        "ring": {"pct": 58, "title": "dry to sand Thu 14:10"},
    }
    return place | changes


def test_a_place_is_one_link_that_says_tag_step_and_time() -> None:
    html = render("rail", place=a_place())

    assert html.count("<a ") == 1
    for words in (
        'href="/hulls/H-104/"',
        "H-104",
        "Filler drying, coat 3",
        "Thu 14:10",
        'aria-label="16 ft, latex filler"',
    ):
        assert words in html


def test_a_ring_is_named_and_filled_by_its_share() -> None:
    html = render("ring.svg", pct=58, title="dry to sand Thu 14:10")

    assert 'aria-label="dry to sand Thu 14:10"' in html
    assert 'stroke-dasharray="58 100"' in html
    assert "tick" not in html
    assert "tick" in render("ring.svg", pct=100, title="dry")


def test_a_place_without_a_drying_coat_has_no_ring() -> None:
    assert "ring" not in render("rail", place=a_place(ring=None))


def test_only_what_hands_can_start_is_marked_now() -> None:
    assert "says now" in render("rail", place=a_place(now=True))
    assert "says now" not in render("rail", place=a_place(now=False))


def test_a_free_place_is_an_empty_rail_as_high_as_the_others() -> None:
    html = render("rail", place={"free": "free until Friday", "view_box": SCALE.view_box})

    assert "free until Friday" in html
    assert f'viewBox="{SCALE.view_box}"' in html
    assert "<a " not in html
    assert "<path" not in html


def test_a_floor_of_sixty_hulls_that_all_dry_stays_under_sixty_kilobytes() -> None:
    skins = [skin for skin in SkinKind for _ in range(7)][:60]
    places = [a_place(drawing=draw_hull(HULL, SCALE, skin, colour="#2f5d46", outwales=False)) for skin in skins]

    assert sum(len(render("rail", place=place).encode()) for place in places) < 60_000


def test_numbers_of_a_drawing_are_written_alike_in_every_language() -> None:
    bands = draw_section([Layer(kind=LayerKind.PLANKING, name="Planking"), Layer(kind=LayerKind.OIL, name="Oil")])
    with override("en"):
        english = render("rail", place=a_place()) + render("section.svg", bands=bands)
    with override("de"):
        german = render("rail", place=a_place()) + render("section.svg", bands=bands)

    assert re.findall(r' (?:d|viewBox|y|height|width)="[^"]*"', english) == re.findall(
        r' (?:d|viewBox|y|height|width)="[^"]*"', german
    )


def test_the_section_labels_every_layer_and_draws_what_is_planned_apart() -> None:
    coats = [
        Layer(kind=LayerKind.PLANKING, name="White cedar planking", note="28 April"),
        Layer(kind=LayerKind.ENAMEL, name="Enamel", note="coat 1", share=0.62, href="#photos"),
        Layer(kind=LayerKind.ENAMEL, name="Enamel", note="about 4 June", share=0),
    ]

    html = render("section.svg", bands=draw_section(coats))

    assert html.count("<li>") == 3
    assert html.count('class="planned"') == 1
    assert html.count('class="rest"') == 1
    assert html.index("about 4 June") < html.index("coat 1") < html.index("28 April")


@pytest.mark.parametrize(
    ("severity", "word"), [("refuses", "Refused:"), ("warns", "Warning:"), ("cautions", "Caution:")]
)
def test_a_finding_says_its_weight_in_a_word(severity: str, word: str) -> None:
    finding = {"severity": severity, "sentence": "The primer is not dry.", "clears": "waiting", "earliest": "Thu 14:10"}

    html = render("findings", findings=[finding | {"rule": "dry", "title": "Dry"}], rules_url="/rules/")

    for words in (word, "The primer is not dry.", "waiting", "Thu 14:10", 'href="/rules/#dry"', "rule “Dry”"):
        assert words in html


def test_no_findings_leave_nothing_on_the_page() -> None:
    assert render("findings", findings=[]).strip() == ""


def test_a_caution_ends_with_who_governs() -> None:
    html = render("caution", text="Cedar dust can cause asthma.")

    assert "General information only. Local codes, the SDS and licensed professionals govern." in html


class Dimensions(forms.Form):
    length = forms.CharField(label="Length", help_text="As 16' or 4.9 m.")
    note = forms.CharField(label="Note", required=False)
    sanded = forms.BooleanField(label="Sanded", required=False)
    surface = forms.ChoiceField(label="Surface", widget=forms.RadioSelect, choices=[("skin", "Skin")])

    def clean_length(self) -> str:
        raise forms.ValidationError("A canoe is not 60 ft long.")


def test_a_wrong_field_keeps_what_was_typed_and_names_its_error_and_help() -> None:
    form = Dimensions({"length": "60'", "surface": "skin"})

    html = render("field", field=form["length"])

    assert 'value="60&#x27;"' in html
    assert "A canoe is not 60 ft long." in html
    assert 'aria-describedby="id_length_helptext id_length_error"' in html
    assert 'id="id_length_helptext"' in html
    assert 'id="id_length_error"' in html
    assert 'for="id_length"' in html


def test_a_field_that_may_be_left_empty_says_so() -> None:
    form = Dimensions()

    assert "(optional)" in render("field", field=form["note"])
    assert "(optional)" not in render("field", field=form["length"])
    assert "(optional)" not in render("field", field=form["note"], folded=True)


def test_a_choice_among_a_few_is_a_group_with_a_legend() -> None:
    html = render("field", field=Dimensions()["surface"])

    assert "<legend>Surface" in html


def test_a_pager_stands_only_where_there_is_more_than_one_page() -> None:
    pages = Paginator(range(30), 10)

    assert render("pager", page=Paginator(range(3), 10).page(1)).strip() == ""
    middle = render("pager", page=pages.page(2), query="q=oak&")
    assert 'href="?q=oak&amp;page=1"' in middle
    assert 'href="?q=oak&amp;page=3"' in middle
    assert "Page 2 of 3" in middle


def test_what_people_typed_cannot_become_markup() -> None:
    station = {"name": SCRIPT, "air": SCRIPT, "free": SCRIPT, "places": [a_place(what=SCRIPT, label=SCRIPT)]}
    finding = {"severity": "refuses", "sentence": SCRIPT, "clears": SCRIPT}
    steps = [{"state": "waiting", "says": SCRIPT, "name": SCRIPT, "findings": [finding]}]
    bands = draw_section([Layer(kind=LayerKind.OIL, name=SCRIPT, note=SCRIPT)])

    pages = [render("station", station=station), render("steps", steps=steps), render("section.svg", bands=bands)]

    assert all("<script" not in page and "&lt;script" in page for page in pages)


# A letter is no page of ours: it carries its own style, and is shown under a policy of its own.
PAGES = [path for path in COMPONENTS if path.parent.name != "letters"]


@pytest.mark.parametrize("path", PAGES, ids=lambda path: path.name)
def test_no_template_needs_what_the_content_policy_forbids(path: Path) -> None:
    text = path.read_text(encoding="utf-8")

    assert not re.search(r"\sstyle=|\son[a-z]+=|<style|<script(?![^>]*\ssrc=)|hx-on|javascript:", text)


@pytest.mark.parametrize("path", [p for p in COMPONENTS if p.parent.name == "components"], ids=lambda path: path.name)
def test_every_component_says_at_its_top_what_it_takes(path: Path) -> None:
    top = path.read_text(encoding="utf-8").split("{% endcomment %}")[0]

    assert "{% comment %}" in top
