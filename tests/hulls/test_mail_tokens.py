"""What a letter's tokens open, and what they do not."""

from hypothesis import given
from hypothesis import strategies as st
from pytest_django import Settings

from hulls.mail_tokens import link_of_mail, link_to_stop, mail_token, stop_token
from hulls.tokens import new_token

ANY = st.integers(min_value=1, max_value=2**62)


@given(ANY)
def test_each_token_does_its_one_thing(link: int) -> None:
    assert (link_of_mail(mail_token(link)), link_to_stop(stop_token(link))) == (link, link)
    assert (link_of_mail(stop_token(link)), link_to_stop(mail_token(link))) == (None, None)


@given(ANY, st.data())
def test_a_letter_changed_in_it_opens_nothing(link: int, data: st.DataObject) -> None:
    token = mail_token(link)
    at = data.draw(st.integers(0, len(token) - 1))
    # The last letter of a signature holds two bits that count for nothing; Django compares the text, not the bits.
    other = data.draw(st.characters().filter(lambda letter: letter != token[at]))
    assert link_of_mail(token[:at] + other + token[at + 1 :]) is None


@given(st.text())
def test_any_other_text_opens_nothing(text: str) -> None:
    assert link_of_mail(text) is None
    assert link_to_stop(text) is None


def test_a_token_that_is_handed_out_is_none_of_these() -> None:
    assert link_of_mail(new_token()) is None


def test_another_shop_s_key_signs_other_tokens(settings: Settings) -> None:
    token = mail_token(1)
    settings.SECRET_KEY = "another-" * 8
    assert link_of_mail(token) is None
