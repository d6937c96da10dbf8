"""A letter handed to a real mail server that takes it, refuses it, puts it off, hangs, and hangs up."""

import pytest
from pytest_django import Settings

from shop.mail.smtp import Answer, Fate, hand_over
from tests.fixtures.post_office import PostOffice

CONTENT = b"Subject: hello\r\n\r\n.a line that begins with a dot\r\nFrom here on\r\n"


def handed_over() -> Answer:
    return hand_over(content=CONTENT, sender="shop@example.org", to="ada@example.org")


def test_a_letter_that_is_taken_came_as_it_went(mail_on: PostOffice) -> None:
    assert handed_over() == Answer(Fate.TAKEN)
    assert mail_on.came == [CONTENT]
    assert mail_on.envelopes == [("shop@example.org", ["ada@example.org"])]


# RFC 5321, 4.2.1: 4yz is transient, 5yz permanent.
@pytest.mark.parametrize(
    ("reply", "fate"),
    [
        ("550 5.1.1 no such mailbox", Fate.REFUSED),
        ("554 5.7.1 not wanted", Fate.REFUSED),
        ("450 4.2.0 greylisted, come again", Fate.LATER),
        ("421 4.3.2 going down", Fate.LATER),
    ],
)
@pytest.mark.parametrize("at", ["to_rcpt", "to_data"])
def test_a_refusal_is_for_good_or_for_now_in_the_server_s_own_words(
    mail_on: PostOffice, reply: str, fate: Fate, at: str
) -> None:
    setattr(mail_on, at, reply)
    assert handed_over() == Answer(fate, reply)


def test_a_server_that_hangs_is_left_after_a_while(mail_on: PostOffice, settings: Settings) -> None:
    mail_on.hangs, settings.EMAIL_TIMEOUT = True, 0.3
    assert handed_over().fate is Fate.LATER


def test_a_server_that_hangs_up_after_the_letter_may_have_it_and_is_asked_again(mail_on: PostOffice) -> None:
    mail_on.hangs_up = True
    assert handed_over().fate is Fate.LATER
    assert len(mail_on.came) == 1


def test_no_server_at_all_is_for_now(mail_on: PostOffice, settings: Settings) -> None:
    settings.EMAIL_PORT = 1  # tcpmux, which nobody runs
    answer = handed_over()
    assert answer.fate is Fate.LATER
    assert answer.words


def test_a_server_s_words_are_shown_on_one_line_and_not_without_end(mail_on: PostOffice) -> None:
    mail_on.to_data = "550 " + "n\tо" * 100 + "\x07" + "x" * 300
    words = handed_over().words
    assert words.isprintable()
    assert len(words) <= 400
