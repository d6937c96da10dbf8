"""What the sensors' way in takes and answers, as an OpenAPI 3.1 document."""

from typing import Any

from shop.readings.pace import BURST
from shop.readings.payload import LONGEST_AGO, MOST_BYTES, MOST_ITEMS
from shop.readings.sample import AIR_C, CLOCK_SLACK, MOST_RAIN_MM, SURFACE_C
from shop.readings.seen import Wrong

Json = dict[str, Any]

_ABOUT = f"""\
Each sensor has a token, which the shop's owner is shown once on the page of sensors.

The same sensor and moment is one reading: sent again it changes nothing and is counted under `repeated`. Sent with
another value, the first one stays and the item is refused. In a list good items are kept and bad ones are reported,
each with its place in the list, the field and the reason; do not send a refused item again. A reading that looks wrong
is kept and reported under `flagged`; it stays out of the drying times until somebody in the shop decides.

A device may send {BURST} requests at once and then one a second, each with up to {MOST_ITEMS} readings and
{MOST_BYTES // 1024} KiB. Beyond that the answer is 429, with `Retry-After`.
"""
_FIELDS: Json = {
    "at": {
        "description": "Moment of the reading: ISO 8601 with its offset, or seconds (or milliseconds) since 1970. "
        "Without it the moment of arrival is taken, and a request that is sent twice is then two readings. At most "
        f"{CLOCK_SLACK.seconds // 60} minutes ahead and {LONGEST_AGO.days} days back.",
        "oneOf": [{"type": "string", "format": "date-time"}, {"type": "number", "minimum": 0}],
        "examples": ["2026-03-01T08:30:00Z", 1772353800],
    },
    "temp_c": {
        "description": "Temperature of the air, °C.",
        "type": "number",
        "minimum": AIR_C[0],
        "maximum": AIR_C[1],
    },
    "temp_f": {"description": "The same in °F, for a sensor that knows no other; not both.", "type": "number"},
    "rh_pct": {"description": "Relative humidity, %.", "type": "number", "minimum": 0, "maximum": 100},
    "surface_c": {
        "description": "Temperature of a hull's surface, °C.",
        "type": "number",
        "minimum": SURFACE_C[0],
        "maximum": SURFACE_C[1],
    },
    "surface_f": {"description": "The same in °F; not both.", "type": "number"},
    "rain_mm": {
        "description": "Rain since the gauge's reading before, mm; of a sensor outdoors. What is read at midnight "
        "counts for the day that ends.",
        "type": "number",
        "minimum": 0,
        "maximum": MOST_RAIN_MM,
    },
}
_INDEX: Json = {"description": "Place in the list, from 0.", "type": "integer", "minimum": 0}
_SCHEMAS: Json = {
    "Reading": {
        "description": "Air (temperature and humidity), rain, or both. Other fields are left aside.",
        "type": "object",
        "properties": _FIELDS,
        "anyOf": [
            {"required": ["temp_c", "rh_pct"]},
            {"required": ["temp_f", "rh_pct"]},
            {"required": ["rain_mm"]},
        ],
    },
    "Taken": {
        "description": "What became of the readings; the air and the rain of one item are counted each.",
        "type": "object",
        "properties": {
            "recorded": {"description": "New ones.", "type": "integer", "minimum": 0},
            "repeated": {"description": "On record already, with the same value.", "type": "integer", "minimum": 0},
            "flagged": {"type": "array", "items": {"$ref": "#/components/schemas/Flagged"}},
            "refused": {"type": "array", "items": {"$ref": "#/components/schemas/Refused"}},
        },
        "required": ["recorded", "repeated", "flagged", "refused"],
        "additionalProperties": False,
    },
    "Flagged": {
        "description": "A reading that was recorded and looks wrong.",
        "type": "object",
        "properties": {
            "index": _INDEX,
            "flag": {"enum": [wrong.value for wrong in Wrong]},
            "reason": {"type": "string", "minLength": 1},
        },
        "required": ["index", "flag", "reason"],
        "additionalProperties": False,
    },
    "Refused": {
        "description": "An item, or the air or the rain in it, that was not recorded.",
        "type": "object",
        "properties": {
            "index": _INDEX,
            "field": {"description": "Which field; empty where the whole item is meant.", "type": "string"},
            "reason": {"type": "string", "minLength": 1},
        },
        "required": ["index", "field", "reason"],
        "additionalProperties": False,
    },
    "Problem": {
        "description": "Why nothing of a request was read.",
        "type": "object",
        "properties": {
            "error": {
                "enum": ["not_readable", "unknown_token", "method_not_allowed", "too_large", "too_many", "too_fast"]
            },
            "reason": {"type": "string", "minLength": 1},
        },
        "required": ["error", "reason"],
        "additionalProperties": False,
    },
}


def document(server: str) -> Json:
    """Give the document.

    Parameters
    ----------
    server : str
        Where the shop is reached.
    """
    return {
        "openapi": "3.1.0",
        "info": {"title": "Readings of the shop's air", "version": "1", "description": _ABOUT},
        "servers": [{"url": server}],
        "paths": {
            "/api/readings": {"post": _post()},
            "/api/readings/add": {"get": _get()},
            "/api/openapi.json": {"get": _self()},
        },
        "components": {
            "schemas": _SCHEMAS,
            "securitySchemes": {
                "token": {"type": "http", "scheme": "bearer"},
                "token_in_address": {"type": "apiKey", "in": "query", "name": "token"},
            },
        },
    }


def _post() -> Json:
    one = {"$ref": "#/components/schemas/Reading"}
    many = {"type": "array", "items": one, "maxItems": MOST_ITEMS}
    body = {"required": True, "content": {"application/json": {"schema": {"oneOf": [one, many]}}}}
    return {
        "operationId": "sendReadings",
        "summary": "Send one reading, or a list of them.",
        "security": [{"token": []}],
        "requestBody": body,
        "responses": _responses(
            {
                "400": "The body is not JSON, or neither an object nor a list.",
                "413": "The body or the list is too long.",
            }
        ),
    }


def _get() -> Json:
    parameters = [
        {
            "name": name,
            "in": "query",
            "description": field["description"],
            "schema": {key: value for key, value in field.items() if key not in ("description", "examples")},
        }
        for name, field in _FIELDS.items()
    ]
    return {
        "operationId": "addReading",
        "summary": "Send one reading in the address, for a sensor that can do no better.",
        "description": "The token then stands in the address, and so in logs on the way: let a sensor POST that can.",
        "security": [{"token_in_address": []}],
        "parameters": parameters,
        "responses": _responses({}),
    }


def _self() -> Json:
    content = {"application/json": {"schema": {"type": "object"}}}
    return {
        "operationId": "document",
        "summary": "This document.",
        "security": [],
        "responses": {"200": {"description": "The document.", "content": content}},
    }


def _responses(more: dict[str, str]) -> Json:
    taken = {
        "200": "Taken in; `refused` names what was not.",
        "422": "Nothing was taken in: every item is refused.",
    }
    problems = {
        "401": "There is no such token, or it was withdrawn.",
        "405": "The address takes another method.",
        "429": "Too many requests.",
        **more,
    }
    answers = {status: _answer(words, "Taken") for status, words in taken.items()}
    answers |= {status: _answer(words, "Problem") for status, words in sorted(problems.items())}
    wait = {"description": "Seconds to wait.", "schema": {"type": "integer", "minimum": 1}}
    answers["429"]["headers"] = {"Retry-After": wait}
    return answers


def _answer(words: str, schema: str) -> Json:
    return {
        "description": words,
        "content": {"application/json": {"schema": {"$ref": f"#/components/schemas/{schema}"}}},
    }
