"""The file formats of problems and plans: JSON (RFC 8259), the fields of the classes by name, defaults left out.

A problem is one object: ``{"ribband": "problem", "version": 1, "horizon": 2880, "start": "2026-05-04T06:00:00+00:00",
"people": [...], "resources": [...], "jobs": [...], "steps": [...], "links": [...], "weather": {...}, "kept": [...],
"weights": {...}}`` with the fields of `stages.planner.problem`. A plan is one too: ``{"ribband": "plan", "version": 1,
"problem": {...}, "placed": [...], "left": [...], "cost": {...}}`` with those of `stages.planner.schedule`; it
carries its problem, so that anybody can check it.
"""

import dataclasses
import json
import types
import typing
from collections.abc import Mapping
from datetime import datetime
from enum import StrEnum
from typing import Any

from hulls.wording import gettext_noop
from stages.planner.errors import PlannerError
from stages.planner.problem import Problem
from stages.planner.schedule import Left, Schedule

VERSION = 1
NOT_JSON = gettext_noop("This is no JSON text.")
NOT_UTF8 = gettext_noop("This is no text in UTF-8.")
TWICE = gettext_noop("In one object this name is there twice.")
# How far from zero numbers may lie, so that sums of their products fit 64 bits and what is reckoned fits the memory.
FARTHEST, DEAREST = 10**9, 10**17
LIMITS = {
    "horizon": 10**7,
    "dry": 10**8,
    **dict.fromkeys(("weight", "flow", "missed", "makespan", "shuffle", "sittings"), 10**6),
}
FIRST_YEAR, LAST_YEAR = 1970, 2999
NOT_OURS = gettext_noop("This file holds no planning problem and no plan of a version that is known here.")


def text_of(content: bytes) -> str:
    """What a file holds as text: UTF-8 (RFC 8259, section 8.1), the mark that some editors set before it left off.

    Raises
    ------
    PlannerError
        When it is none.
    """
    try:
        return content.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        raise PlannerError("file", NOT_UTF8) from error


def write_problem(problem: Problem) -> str:
    """A problem as JSON text."""
    return _text({"ribband": "problem", "version": VERSION, **_plain(problem)})


def write_plan(problem: Problem, schedule: Schedule) -> str:
    """A plan with its problem as JSON text."""
    return _text({"ribband": "plan", "version": VERSION, "problem": _plain(problem), **_plain(schedule)})


def read_problem(text: str) -> Problem:
    """Read a problem.

    Raises
    ------
    PlannerError
        When the text is none; ``field`` names the place, such as ``steps[3].sittings``.
    """
    return typing.cast("Problem", _made(Problem, _opened(text, "problem"), ""))


def read_plan(text: str) -> tuple[Problem, Schedule]:
    """Read a plan and the problem that it carries.

    Raises
    ------
    PlannerError
        When the text is none; ``field`` names the place, such as ``placed[3].start``.
    """
    value = _opened(text, "plan")
    problem = _made(Problem, value.pop("problem", None), "problem")
    schedule = typing.cast("Schedule", _made(Schedule, value, ""))
    for at, left in enumerate(schedule.left):
        _check_gaps(left, f"left[{at}].text")
    return typing.cast("Problem", problem), schedule


def carries_plan(text: str) -> bool:
    """Whether a text is a plan with its problem, and no bare problem; False too where it is neither."""
    try:
        value = json.loads(text)
    except (ValueError, RecursionError):
        return False
    return isinstance(value, dict) and value.get("ribband") == "plan"


def _check_gaps(left: Left, where: str) -> None:
    try:
        str(left)
    except (KeyError, TypeError, ValueError) as error:
        raise PlannerError(where, "The gaps of this sentence and what fills them do not match.") from error


def _text(value: Mapping[str, Any]) -> str:
    return json.dumps(value, ensure_ascii=False, separators=(",", ":"))


def _plain(value: Any) -> Any:
    """A value of the core as JSON knows it; fields that have their default are left out."""
    if dataclasses.is_dataclass(value):
        fields = [(field, getattr(value, field.name)) for field in dataclasses.fields(value)]
        return {field.name: _plain(held) for field, held in fields if held != _default(field)}
    if isinstance(value, Mapping):
        return {str(key): _plain(held) for key, held in value.items()}
    if isinstance(value, datetime):
        return value.isoformat()
    if isinstance(value, tuple | list):
        return [_plain(held) for held in value]
    return sorted(value) if isinstance(value, frozenset) else value


def _default(field: "dataclasses.Field[Any]") -> Any:
    if field.default_factory is not dataclasses.MISSING:
        return field.default_factory()
    return field.default


def _opened(text: str, what: str) -> dict[str, Any]:
    try:
        value = json.loads(text, object_pairs_hook=_once_each)
    except PlannerError:
        raise
    except (ValueError, RecursionError) as error:
        raise PlannerError("file", NOT_JSON) from error
    if not isinstance(value, dict) or value.pop("ribband", None) != what or value.pop("version", None) != VERSION:
        raise PlannerError("file", NOT_OURS)
    return value


def _once_each(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
    """An object whose names are unique: which of two was meant nobody can say (RFC 8259, section 4)."""
    found = dict(pairs)
    if len(found) < len(pairs):
        names = [name for name, _ in pairs]
        raise PlannerError(next(name for name in names if names.count(name) > 1), TWICE)
    return found


def _made(wanted: Any, value: Any, where: str) -> Any:
    """A value of a type out of what JSON gave."""
    origin, inner = typing.get_origin(wanted), typing.get_args(wanted)
    if origin in (types.UnionType, typing.Union):
        return None if value is None else _made(next(one for one in inner if one is not types.NoneType), value, where)
    if origin in (tuple, frozenset):
        return _many(origin, inner, value, where)
    if origin is not None and issubclass(origin, Mapping):
        held = _checked(dict, value, where)
        return {key: _made(inner[1], one, f"{where}.{key}") for key, one in held.items()}
    if dataclasses.is_dataclass(wanted):
        return _fields(typing.cast("type", wanted), _checked(dict, value, where), where)
    return _single(wanted, value, where)


def _many(origin: Any, inner: tuple[Any, ...], value: Any, where: str) -> Any:
    held = _checked(list, value, where)
    if origin is frozenset or inner[-1] is Ellipsis:
        return origin(_made(inner[0], one, f"{where}[{at}]") for at, one in enumerate(held))
    if len(held) != len(inner):
        raise PlannerError(where, f"Here {len(inner)} values belong, not {len(held)}.")
    return tuple(_made(kind, one, f"{where}[{at}]") for at, (kind, one) in enumerate(zip(inner, held, strict=True)))


def _single(wanted: Any, value: Any, where: str) -> Any:
    if isinstance(wanted, type) and issubclass(wanted, StrEnum):
        if value not in list(wanted):
            raise PlannerError(where, f"Here one of these belongs: {', '.join(wanted)}.")
        return wanted(value)
    if wanted is datetime:
        return _instant(_checked(str, value, where), where)
    return _checked(wanted, value, where)


def _instant(text: str, where: str) -> datetime:
    try:
        moment = datetime.fromisoformat(text)
    except ValueError as error:
        raise PlannerError(where, f"“{text}” is no ISO 8601 moment.") from error
    if moment.tzinfo is None:
        raise PlannerError(where, f"“{text}” does not say its offset from UTC.")
    if not FIRST_YEAR <= moment.year <= LAST_YEAR:
        raise PlannerError(where, f"A plan begins between {FIRST_YEAR} and {LAST_YEAR}.")
    return moment


def _checked(wanted: Any, value: Any, where: str) -> Any:
    if type(value) is not wanted:
        raise PlannerError(where or "file", f"Here a value of the kind {wanted.__name__} belongs.")
    if wanted is int and abs(value) > _limit(where):
        raise PlannerError(where, f"No number here lies farther from zero than {_limit(where)}.")
    return value


def _limit(where: str) -> int:
    name = where.rpartition(".")[2].partition("[")[0]
    return DEAREST if where.startswith("cost.") else LIMITS.get(name, FARTHEST)


def _fields(wanted: type, held: dict[str, Any], where: str) -> Any:
    kinds = typing.get_type_hints(wanted)
    fields = {field.name: field for field in dataclasses.fields(wanted)}
    dot = f"{where}." if where else ""
    for name in held:
        if name not in fields:
            raise PlannerError(f"{dot}{name}", "There is no such field.")
    for name, field in fields.items():
        if name not in held and _default(field) is dataclasses.MISSING:
            raise PlannerError(f"{dot}{name}", "This field is missing.")
    values = {name: _made(kinds[name], one, f"{dot}{name}") for name, one in held.items()}
    try:
        return wanted(**values)
    except PlannerError as error:
        raise PlannerError(f"{dot}{error.field}", error.message) from error
