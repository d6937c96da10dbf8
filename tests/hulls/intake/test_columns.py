import pytest

from hulls.intake import SheetError
from hulls.intake.columns import REQUIRED, WORDS, columns_of, delimiter_of


def fields(*titles: str) -> list[str | None]:
    needed = [word for word in REQUIRED if word not in {title.casefold() for title in titles}]
    return [column.field if column else None for column in columns_of((*titles, *needed))][: len(titles)]


@pytest.mark.parametrize(("delimiter", "name"), [(",", "comma"), (";", "semicolon"), ("\t", "tab")])
def test_the_delimiter_is_found_by_the_columns_that_it_yields(delimiter: str, name: str) -> None:
    assert delimiter_of(delimiter.join(["tag", "owner", "length (ft, in)", "beam"])) == delimiter, name


def test_commas_inside_titles_do_not_hide_a_semicolon() -> None:
    assert delimiter_of('"Notes, long, wordy, many, commas, all, over";Tag;Owner') == ";"


@pytest.mark.parametrize(
    ("title", "field"),
    [
        ("Tag", "tag"),
        ("  HULL  No. ", "tag"),
        ("Customer", "owner"),
        ("E-Mail", "email"),
        ("e_mail_address", "email"),
        ("Tel.", "phone"),
        ("LOA", "length"),
        ("End depth", "end depth"),
        ("end_depth", "end depth"),
        ("Rocker (in)", "rocker"),
        ("Color", "colour"),
        ("Interior varnish", "inside varnish"),
        ("Due date", "promised"),
        ("Date in", "arrived"),
        ("Notes:", "notes"),
        ("Rack", None),
        ("", None),
    ],
)
def test_columns_are_known_by_the_words_of_the_trade(title: str, field: str | None) -> None:
    needed = tuple(word for word in REQUIRED if word != field)
    column = columns_of((title, *needed))[0]
    assert (column.field if column else None) == field


@pytest.mark.parametrize(
    ("title", "unit"),
    [
        ("Beam (in)", "in"),
        ("Beam [cm]", "cm"),
        ("beam_m", "m"),
        ("BEAM mm", "mm"),
        ("Beam, ft.", "ft"),
        ("Beam ( In. )", "in"),
        ("Beam", None),
    ],
)
def test_a_unit_above_the_column_is_taken(title: str, unit: str | None) -> None:
    columns = columns_of((title, "tag", "owner", "length", "depth", "end depth"))
    assert columns[0] is not None
    assert columns[0].unit == unit


def test_a_unit_above_anything_but_a_length_makes_the_column_unknown() -> None:
    assert columns_of((*REQUIRED, "wood (in)"))[-1] is None


def test_any_order_will_do() -> None:
    assert fields("end depth", "Notes", "beam", "tag") == ["end depth", "notes", "beam", "tag"]


def test_missing_columns_are_named_all_at_once() -> None:
    with pytest.raises(SheetError, match="no column for: owner, beam, end depth"):
        columns_of(("tag", "length", "depth"))


def test_two_columns_for_the_same_thing_are_refused() -> None:
    with pytest.raises(SheetError, match="More than one column holds the beam: Beam, Width"):
        columns_of((*(word.title() for word in REQUIRED), "Width"))


def test_no_word_stands_for_two_columns() -> None:
    words = [word for several in WORDS.values() for word in several]
    assert len(words) == len(set(words))
