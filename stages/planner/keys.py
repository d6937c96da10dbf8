"""What a problem's keys and spans must be, whatever they belong to."""

from itertools import pairwise

from hulls.wording import gettext_noop
from stages.planner.errors import PlannerError
from stages.planner.timegrid import Spans


def keys_of(field_name: str, keys: list[str]) -> frozenset[str]:
    """The keys as a set.

    Raises
    ------
    PlannerError
        When one is double.
    """
    found = frozenset(keys)
    if len(found) != len(keys):
        double = next(key for key in keys if keys.count(key) > 1)
        raise PlannerError(field_name, f"“{double}” is there twice.")
    return found


def known(field_name: str, key: str, among: object) -> None:
    """Refuse a key that names nothing.

    Raises
    ------
    PlannerError
        When it is not there.
    """
    if key not in among:  # type: ignore[operator]
        raise PlannerError(field_name, f"“{key}” names nothing in this problem.")


def check_spans(field_name: str, spans: Spans) -> None:
    """Refuse spans that are out of order, empty or lie over each other.

    Raises
    ------
    PlannerError
        When they do.
    """
    if any(first >= last for first, last in spans) or any(a[1] > b[0] for a, b in pairwise(spans)):
        raise PlannerError(field_name, gettext_noop("Hours of work come one after the other and end after they begin."))
