"""Sentences as a log keeps them: plain values, and the same sentence when it is read back."""

import json
from datetime import UTC, date, datetime

import pytest

from stages.engine.findings import Degrees, Quantity, Words, say
from stages.engine.sentences import packed, unpacked

WHEN = datetime(2026, 5, 15, 12, 30, tzinfo=UTC)


@pytest.mark.parametrize(
    "value",
    [
        "Spar varnish",
        3,
        2.5,
        Degrees(celsius=4.5),
        Degrees(celsius=1.5, apart=True),
        Quantity(value=0.526, unit="L"),
        WHEN,
        date(2026, 5, 15),
        say("It is %(air)s.", air=Degrees(celsius=4.5)),
    ],
    ids=lambda value: type(value).__name__,
)
def test_a_sentence_comes_back_through_json_as_it_was(value: object) -> None:
    words = Words(text="%(what)s, as told.", values={"what": value})
    back = unpacked(json.loads(json.dumps(packed(words))))
    assert back == words
    assert type(back.values["what"]) is type(value)
    assert str(back) == str(words)


def test_a_sentence_without_gaps_is_its_text() -> None:
    assert packed(say("The old canvas is still on.")) == {"text": "The old canvas is still on.", "values": {}}
