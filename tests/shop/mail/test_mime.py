"""A letter as bytes: whatever stands in its names and subject, it has the headers that it was given and no other."""

from datetime import UTC, datetime
from email import message_from_bytes
from email.message import EmailMessage
from email.policy import compat32, default
from typing import Any
from uuid import UUID

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from shop.mail.mime import AddressError, Letter, Picture, one_line, wire_address

HEADERS = ["From", "To", "Subject", "Date", "Message-ID", "Auto-Submitted", "MIME-Version", "Content-Type"]
ANY_TEXT = st.text(st.characters(exclude_categories=["Cs"]), max_size=200)
NASTY = [
    "Ada\r\nBcc: everybody@example.org",
    "Ada\nBcc: everybody@example.org\n\nhello",
    "=?utf-8?q?Ada=0D=0ABcc:_everybody@example.org?=",
    "=?utf-8?b?DQpCY2M6IGVAZXhhbXBsZS5vcmc=?=",
    "Ada\u2028Bcc: e@example.org\u2029\x85\x0b\x0c\x1c",
    'Ada" <e@example.org>, "Ben',
    "Ada, Ben; Carl: <x>",
    "עדה ריד ‏",
    "山田 太郎 🛶",
    "\u202eevil\u202c",
    "=?",
    "x" * 200,
]


def a_letter(**changes: Any) -> Letter:
    usual = {
        "number": UUID(int=7),
        "message_id": "<7@example.org>",
        "at": datetime(2031, 5, 5, 12, tzinfo=UTC),
        "sender_name": "The test shop",
        "sender": "shop@example.org",
        "to_name": "Ada Reed",
        "to": "ada@example.org",
        "subject": "Swift: canvas on",
        "text": "Hello\n",
        "html": "<p>Hello</p>\n",
    }
    return Letter(**{**usual, **changes})


def read(letter: Letter) -> EmailMessage:
    mail = message_from_bytes(bytes(letter), policy=default)
    assert isinstance(mail, EmailMessage)
    return mail


@given(name=ANY_TEXT | st.sampled_from(NASTY), subject=ANY_TEXT | st.sampled_from(NASTY))
@example(name=NASTY[0], subject=NASTY[2])
@example(name=NASTY[2], subject=NASTY[0])
@example(name=NASTY[5], subject=NASTY[6])
def test_no_name_and_no_subject_writes_a_header_of_its_own(name: str, subject: str) -> None:
    content = bytes(a_letter(to_name=name, sender_name=name, subject=subject))
    assert content.isascii()
    head, _, _body = content.partition(b"\r\n\r\n")
    assert b"\r" not in head.replace(b"\r\n", b"")
    assert b"\n" not in head.replace(b"\r\n", b"")
    mail = message_from_bytes(content, policy=compat32)  # a reader that knows none of our ways
    assert mail.keys() == HEADERS
    modern = message_from_bytes(content, policy=default)
    assert [a.addr_spec for a in modern["To"].addresses] == ["ada@example.org"]
    assert [a.addr_spec for a in modern["From"].addresses] == ["shop@example.org"]


@given(name=ANY_TEXT | st.sampled_from(NASTY))
def test_a_name_comes_out_as_it_went_in_its_line_s_ends_aside(name: str) -> None:
    mail = read(a_letter(to_name=name, subject=name))
    assert "".join(mail["To"].addresses[0].display_name.split()) == "".join(one_line(name).split())
    assert "".join(str(mail["Subject"]).split()) == "".join(one_line(name).split())


@pytest.mark.parametrize(
    "name", ["Zoë Ågren", "山田 太郎", "עדה ריד", "أدا", "Ada 🛶", "O'Neil, Ada", 'Ada "Ace" Reed']
)
def test_names_in_any_script_are_encoded_words_and_read_back(name: str) -> None:
    content = bytes(a_letter(to_name=name, subject=f"{name}: ready"))
    head = content.partition(b"\r\n\r\n")[0]
    assert (b"=?utf-8?" in head) is (not name.isascii())  # RFC 2047, 2
    assert all(len(line) <= 78 for line in head.split(b"\r\n"))  # RFC 5322, 2.1.1
    mail = read(a_letter(to_name=name, subject=f"{name}: ready"))
    assert mail["To"].addresses[0].display_name == name
    assert mail["Subject"] == f"{name}: ready"


@pytest.mark.parametrize(
    ("address", "wire"),
    [
        ("ada@example.org", "ada@example.org"),
        (" ada@example.org ", "ada@example.org"),
        ("ada@bücher.example", "ada@xn--bcher-kva.example"),  # by RFC 3492; the value is from memory
        ('"ada reed"@example.org', None),
        ("ada@example.org\r\nBcc: ben@example.org", None),
        ("ada@example.org\nx", None),
        ("ada\n@example.org", None),
        ("ada@example.org, ben@example.org", None),
        ("<ada@example.org>", None),
        ("ada", None),
        ("", None),
        ("@example.org", None),
        ("ada@", None),
        ("дарья@example.org", None),  # it would need a server that speaks SMTPUTF8 (RFC 6531)
        ("a" * 65 + "@" + "b" * 200 + ".example", None),
    ],
)
def test_an_address_is_one_that_servers_take_or_none(address: str, wire: str | None) -> None:
    if wire is None:
        with pytest.raises(AddressError):
            wire_address(address)
        with pytest.raises(AddressError):
            bytes(a_letter(to=address))
    else:
        assert wire_address(address) == wire


@given(st.text(max_size=60))
def test_whatever_is_taken_as_an_address_is_one_word_in_ascii(text: str) -> None:
    try:
        wire = wire_address(text)
    except AddressError:
        return
    assert wire.isascii()
    assert not set(wire) & set(" \r\n\t<>,;")
    assert [a.addr_spec for a in read(a_letter(to=text))["To"].addresses] == [wire]


def test_it_has_text_and_html_in_seven_bits_with_photos_beside_the_html() -> None:
    text, html = "Zoë 🛶\n" + "x" * 2000 + "\n", '<p>Zoë 🛶 <img src="cid:photo-1"></p>\n'
    letter = a_letter(text=text, html=html, pictures=(Picture(name="photo-1", jpeg=b"\xff\xd8\xff" + bytes(900)),))
    assert bytes(letter).isascii()
    assert all(len(line) <= 998 for line in bytes(letter).split(b"\r\n"))  # RFC 5322, 2.1.1
    mail = read(letter)
    assert mail.get_content_type() == "multipart/alternative"
    plain, related = mail.iter_parts()
    page, picture = related.iter_parts()
    assert plain.get_content().splitlines() == text.splitlines()
    assert page.get_content().splitlines() == html.splitlines()
    assert picture["Content-ID"] == "<photo-1>"
    assert picture.get_content()[:3] == b"\xff\xd8\xff"


def test_made_again_it_is_the_same_to_the_byte() -> None:
    pictures = (Picture(name="photo-1", jpeg=b"\xff\xd8\xff"),)
    assert bytes(a_letter(pictures=pictures)) == bytes(a_letter(pictures=pictures))
    assert bytes(a_letter(number=UUID(int=8))) != bytes(a_letter())
