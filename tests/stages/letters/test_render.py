"""A letter laid out: the same words in text and HTML, whatever somebody typed."""

from html.parser import HTMLParser

from hypothesis import given
from hypothesis import strategies as st

from shop.models import Shop
from stages.letters import mark
from stages.letters.render import LONGEST_SUBJECT, Written, written
from stages.letters.words import Words

TYPED = st.text(st.characters(exclude_categories=["Cs", "Cc"]), max_size=300)
RTL = "הקנבס על הסירה"


def laid_out(boat: str = "Swift", line: str = "Finished: Canvas", subject: str = "") -> Written:
    words = Words(subject=subject or f"{boat}: {line}", opening="News", lines=(line,), press="See it", why="You asked.")
    return written(words, Shop(name="The test shop", phone="+1 555 0100"), boat)


class Tags(HTMLParser):
    """The tags of a page, and its text."""

    def __init__(self, page: str) -> None:
        super().__init__()
        self.tags: list[str] = []
        self.text = ""
        self.feed(page)

    def handle_starttag(self, tag: str, attrs: object) -> None:
        self.tags.append(tag)

    def handle_data(self, data: str) -> None:
        self.text += data


@given(boat=TYPED, line=TYPED)
def test_nothing_that_was_typed_becomes_a_tag_and_all_of_it_is_read(boat: str, line: str) -> None:
    found = laid_out(boat, line)
    page = Tags(found.html)
    assert page.tags == Tags(laid_out().html).tags
    assert boat in page.text
    assert boat in found.text
    assert f"- {line}" in found.text


@given(subject=TYPED)
def test_a_subject_is_one_line_and_not_without_end(subject: str) -> None:
    found = laid_out(subject=subject).subject
    assert len(found) <= LONGEST_SUBJECT
    assert len(found.splitlines()) <= 1


def test_text_that_runs_from_right_to_left_finds_its_own_direction() -> None:
    html = laid_out(RTL, RTL).html
    assert f'<h1 dir="auto">{RTL}</h1>' in html
    assert f'<li dir="auto">{RTL}</li>' in html


def test_addresses_come_in_where_they_belong_and_nowhere_before() -> None:
    found = laid_out()
    assert "http" not in found.text + found.html
    text = mark.filled(found.text, page="https://a.example/p/1/", stop="https://a.example/stop/1/")
    assert text.count("https://a.example/p/1/") == 2
    assert text.count("https://a.example/p/1/#letters") == 1
    assert text.count("https://a.example/stop/1/") == 1
    html = mark.filled(found.html, page="https://a.example/p/1/", stop="https://a.example/stop/1/", photos="<i>x</i>")
    assert html.count("https://a.example/p/1/") == 2
    assert "<i>x</i>" in html
    assert "\ue000" not in html + text


def test_a_signature_is_parted_as_mail_programs_expect_it() -> None:
    assert "\n-- \nThe test shop\n" in laid_out().text  # RFC 3676, 4.3
