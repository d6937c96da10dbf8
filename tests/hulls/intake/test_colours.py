import pytest

from hulls.intake.colours import MAX_NAME, read_colour
from shop.sheets.problems import CellProblem


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("spruce green #2F5D46", ("#2f5d46", "spruce green")),
        ("#2f5d46 (spruce green)", ("#2f5d46", "spruce green")),
        ("plum, #5b2a4e", ("#5b2a4e", "plum")),
        ("#5b2a4e", ("#5b2a4e", "")),
    ],
)
def test_a_number_gives_the_colour_and_the_rest_its_name(text: str, expected: tuple[str, str]) -> None:
    assert read_colour(text) == expected


def test_a_name_alone_is_drawn_in_the_tone_of_its_last_word() -> None:
    number, name = read_colour("Dark Red")
    red, green, blue = (int(number[place : place + 2], 16) for place in (1, 3, 5))
    assert name == "Dark Red"
    assert red > green + blue - red / 2


@pytest.mark.parametrize("text", ["plum", "#12345", "#1234567", "#zzzzzz", "#2f5d46 #2f5d46 #1", "green-ish"])
def test_a_colour_that_is_not_known_asks_for_its_number(text: str) -> None:
    with pytest.raises(CellProblem, match="not a colour known here"):
        read_colour(text)


def test_the_name_of_a_colour_fits_its_column() -> None:
    assert read_colour("x" * (MAX_NAME - 6) + " green")[1]
    with pytest.raises(CellProblem, match="at most 40 characters"):
        read_colour("x" * (MAX_NAME - 5) + " green")
