"""Every layer that lies on a hull, from the wood outward: what, when, in which air, how long it dried, by whom."""

from collections.abc import Mapping
from datetime import datetime
from typing import Any

from stages.engine.air import margin_c
from stages.engine.airlog import AirLog
from stages.engine.log import LogEntry
from stages.engine.reading import HOUR_S
from stages.engine.state import Coat
from stages.engine.vocab import Surface
from stages.engine.work import Work

NOBODY_READ = AirLog.of(())
Lots = Mapping[int, list[str]]  # by line of the log


def surfaces_of(
    work: Work,
    lines: Mapping[int, LogEntry],
    lots: Lots,
    airs: Mapping[int, AirLog],
    names: Mapping[int, str],
    until: datetime,
) -> list[dict[str, Any]]:
    """The surfaces that carry layers of the shop's, each with its layers from the wood outward.

    Parameters
    ----------
    work : Work
        The hull; what was struck or stripped off lies on it no more.
    lines : mapping of int to LogEntry
        The lines in force of its log, by their number.
    lots : mapping of int to list of str
        What the stores call the cans that a coat was poured from.
    airs : mapping of int to AirLog
        By zone, the readings around the moments at which coats went on.
    names : mapping of int to str
        The crew by their numbers.
    until : datetime
        The hand-over, or now: so long the outermost coat has dried.

    Returns
    -------
    list of dict
        Plain JSON values; temperatures in °C, the margin above the dew point in K, times dried in hours.
    """
    found = []
    for surface in Surface:
        stack = work.state.stack(surface)
        ends = [*(coat.at for coat in stack[1:]), until]
        layers = [
            {
                **_coat(work, coat, lines[coat.entry], names),
                "lots": _lots(coat, lots),
                "air": _air(coat, airs.get(coat.zone, NOBODY_READ)),
                **_dried(coat, end, last=coat is stack[-1]),
            }
            for coat, end in zip(stack, ends, strict=False)
        ]
        if layers:
            found.append({"surface": str(surface), "layers": layers})
    return found


def _coat(work: Work, coat: Coat, line: LogEntry, names: Mapping[int, str]) -> dict[str, Any]:
    product, spec, told = work.product(coat), work.route.by_key[coat.stage], line.details
    return {
        "line": coat.entry,
        "step": spec.name,
        "product": product.name,
        "kind": str(product.kind),
        "number": coat.number,
        "planned": spec.coats,
        "at": coat.at.isoformat(),
        "by": names.get(line.by or 0, ""),
        "amount": float(told["amount"]) if told.get("measured") and "amount" in told else None,
        "unit": product.unit,
    }


def _lots(coat: Coat, lots: Lots) -> list[str]:
    return list(dict.fromkeys([*lots.get(coat.entry, ()), *filter(None, [coat.lot])]))


def _air(coat: Coat, log: AirLog) -> dict[str, Any]:
    """The air at the moment of a coat; its margin above the dew point is the surface's where that was read."""
    air = log.air_at(coat.at)
    if log.is_empty or air.assumed:
        return {"read": False}
    surface_c = air.air_c if air.surface_c is None else air.surface_c
    return {
        "read": True,
        "air_c": round(air.air_c, 1),
        "rh_pct": round(air.rh_pct),
        "margin_c": round(float(margin_c(air.air_c, air.rh_pct, surface_c)), 1),
        "surface_read": air.surface_c is not None,
    }


def _dried(coat: Coat, end: datetime, *, last: bool) -> dict[str, Any]:
    """How long a coat lay until hands came back to it: to sand it, or to put the next one on."""
    touched = min(coat.sanded_at, end) if coat.sanded_at else end
    then = "sanded" if coat.sanded_at and coat.sanded_at <= end else "last" if last else "coat"
    dried_h = max(0.0, (touched - coat.at).total_seconds() / HOUR_S)
    return {"dried_h": round(dried_h, 1), "then": then, "grit": coat.sanded_grit}
