"""Contrast of the colours, by the formulas of WCAG 2.2 (definitions of relative luminance and contrast ratio)."""

import re

import pytest
from django.conf import settings

GROUNDS = ("paper", "sheet", "canvas")


def tokens() -> dict[str, str]:
    text = (settings.BASE_DIR / "static/css/tokens.css").read_text(encoding="utf-8")
    found: dict[str, str] = {}
    for name, colour in re.findall(r"--([\w-]+): (#[0-9a-f]{6});", text):
        found.setdefault(name, colour)
    return found


def luminance(colour: str) -> float:
    channels = [int(colour[i : i + 2], 16) / 255 for i in (1, 3, 5)]
    red, green, blue = (c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in channels)
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def contrast(one: str, other: str) -> float:
    dark, light = sorted((luminance(one), luminance(other)))
    return (light + 0.05) / (dark + 0.05)


def test_black_on_white_has_the_ratio_that_the_guidelines_name() -> None:
    assert contrast("#000000", "#ffffff") == pytest.approx(21)  # WCAG 2.2, definition of contrast ratio: 1 to 21


@pytest.mark.parametrize("ground", GROUNDS)
@pytest.mark.parametrize("ink", ["ink", "muted", "spruce", "brick", "cedar-dark"])
def test_text_reaches_level_aa_on_every_ground(ink: str, ground: str) -> None:
    assert contrast(tokens()[ink], tokens()[ground]) >= 4.5  # success criterion 1.4.3


@pytest.mark.parametrize("ground", ["spruce", "spruce-deep", "brick"])
def test_text_on_a_filled_button_reaches_level_aa(ground: str) -> None:
    assert contrast(tokens()["on-dark"], tokens()[ground]) >= 4.5


@pytest.mark.parametrize("ground", GROUNDS)
@pytest.mark.parametrize("edge", ["edge", "brass"])
def test_edges_of_controls_and_rings_stand_out(edge: str, ground: str) -> None:
    assert contrast(tokens()[edge], tokens()[ground]) >= 3  # success criterion 1.4.11
