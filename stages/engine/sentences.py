"""Sentences of the engine as plain JSON values, for a log that keeps them to be read in another language later."""

from collections.abc import Mapping
from datetime import date, datetime
from typing import Any

from stages.engine.findings import Degrees, Quantity, Words


def packed(words: Words) -> dict[str, Any]:
    """A sentence as JSON values: its text, and what fills its gaps."""
    return {"text": words.text, "values": {name: _plain(value) for name, value in words.values.items()}}


def unpacked(held: Mapping[str, Any]) -> Words:
    """The sentence that `packed` wrote."""
    return Words(text=held["text"], values={name: _filling(value) for name, value in held["values"].items()})


def _plain(value: object) -> object:
    match value:
        case Words():
            return packed(value)
        case Degrees():
            return {"celsius": value.celsius, "apart": value.apart}
        case Quantity():
            return {"value": value.value, "unit": value.unit}
        case datetime():
            return {"at": value.isoformat()}
        case date():
            return {"on": value.isoformat()}
        case int() | float():
            return value
    return str(value)


def _filling(held: Any) -> object:
    match held:
        case {"text": _}:
            return unpacked(held)
        case {"celsius": celsius, "apart": apart}:
            return Degrees(celsius=celsius, apart=apart)
        case {"value": value, "unit": unit}:
            return Quantity(value=value, unit=unit)
        case {"at": at}:
            return datetime.fromisoformat(at)
        case {"on": on}:
            return date.fromisoformat(on)
    return held
