import pytest
from django.db.models import Field

from hulls.intake.cells import (
    MOST_CHARACTERS,
    read_email,
    read_filler,
    read_hull_type,
    read_inside_varnish,
    read_phone,
    read_priority,
    read_tag,
    read_text,
)
from hulls.intake.colours import MAX_NAME
from hulls.models import Filler, Hull, HullKind, InsideVarnish, Owner, Priority
from shop.sheets.problems import CellProblem


@pytest.mark.parametrize("text", ["=1+1", "+47 555", "@home", "<script>alert(1)</script>", "Ö & <b>", "'; DROP"])
def test_formulas_and_html_are_plain_text(text: str) -> None:
    assert read_text("notes", text) == text


def test_notes_keep_their_lines_and_other_cells_do_not() -> None:
    assert read_text("notes", " one\r\ntwo\rthree \n") == "one\ntwo\nthree"
    assert read_text("owner", "Ann\r\nTeller\u00a0 Junior") == "Ann Teller Junior"


@pytest.mark.parametrize("char", ["\x00", "\x07", "\x1b", "\x7f", "\x85", "\u202e", "\u2066", "\u2028"])
def test_control_characters_are_refused(char: str) -> None:
    with pytest.raises(CellProblem, match="control character"):
        read_text("notes", f"a{char}b")


@pytest.mark.parametrize("field", sorted(MOST_CHARACTERS))
def test_a_text_may_be_as_long_as_its_limit_and_no_longer(field: str) -> None:
    most = MOST_CHARACTERS[field]
    assert len(read_text(field, "x" * most)) == most
    with pytest.raises(CellProblem, match=f"This has {most + 1} characters; {most} is the most."):
        read_text(field, "x" * (most + 1))


def test_the_limits_are_those_of_the_tables() -> None:
    of_the_owner = {"owner": "name", "email": "email", "phone": "phone"}
    for field, most in (MOST_CHARACTERS | {"colour_name": MAX_NAME}).items():
        model = Owner if field in of_the_owner else Hull
        column = model._meta.get_field(of_the_owner.get(field, field.replace("boat name", "name")))
        assert isinstance(column, Field)
        assert column.max_length == most, field


@pytest.mark.parametrize("tag", ["H-118", "118", "a/b.c-d"])
def test_tags_that_the_table_takes_are_taken(tag: str) -> None:
    assert read_tag(tag) == tag
    Hull._meta.get_field("tag").run_validators(tag)


@pytest.mark.parametrize("tag", ["H 118", "-1", "=1", "H#1", "Å1"])
def test_other_tags_are_refused(tag: str) -> None:
    with pytest.raises(CellProblem, match="is not a tag"):
        read_tag(tag)


@pytest.mark.parametrize("phone", ["+47 555 01 234", "(555) 010-7788", "555.010.7788", "555-0107 x12"])
def test_telephone_numbers_are_taken_as_written(phone: str) -> None:
    assert read_phone(phone) == phone


@pytest.mark.parametrize("phone", ["call Ann", "5", "=555", "ann@example.org"])
def test_what_is_no_telephone_number_is_refused(phone: str) -> None:
    with pytest.raises(CellProblem, match="not a telephone number"):
        read_phone(phone)


def test_an_address_without_a_domain_is_refused() -> None:
    assert read_email("ann@example.org") == "ann@example.org"
    with pytest.raises(CellProblem, match="not an e-mail address"):
        read_email("ann@")


def test_choices_are_read_by_their_words() -> None:
    assert read_filler("Oil-based") is Filler.OIL
    assert read_filler("LATEX") is Filler.LATEX
    assert read_inside_varnish("after the canvas") is InsideVarnish.AFTER
    assert read_priority("High") is Priority.HIGH


def test_every_choice_is_read_by_its_value_and_by_its_label() -> None:
    for filler in Filler:
        assert read_filler(filler.value) is read_filler(str(filler.label)) is filler
    for kind in HullKind:
        assert read_hull_type(kind.value) is read_hull_type(str(kind.label)) is kind
    for when in InsideVarnish:
        assert read_inside_varnish(when.value) is read_inside_varnish(str(when.label)) is when
    for priority in Priority:
        assert read_priority(priority.name) is read_priority(str(priority.label)) is priority


def test_other_words_and_a_number_for_a_priority_are_refused() -> None:
    for reader, word in (
        (read_filler, "lead"),
        (read_hull_type, "barge"),
        (read_inside_varnish, "never"),
        (read_priority, "1"),
    ):
        with pytest.raises(CellProblem):
            reader(word)
