"""How fast the dry clock answers, beside a plain integration of the same air by scipy.

`python -m stages.bench.clock` prints the table; scipy comes with tests/requirements.txt.
"""

from collections.abc import Callable
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from time import perf_counter

import numpy as np

from stages.engine.airlog import AirLog
from stages.engine.dryclock import age, dry_at, rate
from stages.engine.label import Dryness, Family, Label

START = datetime(2025, 1, 1, tzinfo=UTC)
YEAR_OF_READINGS = 105_120
COATS = 300
SIZES = (1_000, 10_000, 100_000, 1_000_000)
FEWEST_ROUNDS = 3
SHORTEST_S = 0.2

LABELS = (
    Label(family=Family.OXIDATIVE, hours={Dryness.RECOAT: 16.0}, lowest_c=5.0),
    Label(family=Family.OXIDATIVE, hours={Dryness.RECOAT: 24.0}, table=((10, 36), (23, 16), (35, 9)), lowest_c=8.0),
    Label(family=Family.WATER, hours={Dryness.RECOAT: 4.0}, lowest_c=10.0),
    Label(family=Family.SOLVENT, hours={Dryness.RECOAT: 48.0}, lowest_c=0.0),
)


@dataclass(slots=True, frozen=True, kw_only=True)
class Figure:
    """One line of the table.

    Parameters
    ----------
    name : str
        What was asked.
    clock_s, peer_s : float
        Seconds that the dry clock and the peer took.
    off : float
        Largest difference between the two answers, as a share of the answer; most of it is the trapezoidal rule that
        blurs the jump at the lowest temperature.
    """

    name: str
    clock_s: float
    peer_s: float
    off: float

    @property
    def ratio(self) -> float:
        """Give how many times longer the peer took."""
        return self.peer_s / self.clock_s


def a_year(readings: int, *, every_s: float = 300.0) -> AirLog:
    """Give a log with days, seasons and a sensor's noise."""
    noise = np.random.default_rng(7)
    seconds = START.timestamp() + every_s * np.arange(readings, dtype=np.float64)
    days = (seconds - seconds[0]) / 86400.0
    season, day = np.sin(2 * np.pi * (days / 365.0 - 0.3)), np.sin(2 * np.pi * (days - 0.4))
    air_c = 14.0 + 6.0 * season + 4.0 * day + noise.normal(0.0, 0.2, readings)
    rh_pct = np.clip(62.0 - 14.0 * day + noise.normal(0.0, 1.0, readings), 5.0, 100.0)
    return AirLog.from_arrays(seconds, air_c, rh_pct)


def scipy_age_h(label: Label, log: AirLog, applied_at: datetime, until: datetime) -> float:
    """Give the same age by scipy: the trapezoidal rule over the readings in between."""
    from scipy import integrate

    first, last = log.seconds.searchsorted((applied_at.timestamp(), until.timestamp()))
    part = slice(int(first), int(last) + 1)
    speed = rate(label, log.air_c[part], log.rh_pct[part])
    return float(integrate.trapezoid(speed, x=log.seconds[part]) / 3600.0)


def measure() -> list[Figure]:
    """Measure the dry clock and its peer.

    Returns
    -------
    list of Figure
        One question at each size of log, then all coats of a year with the sums made anew, and again with them kept.
    """
    return [*(_one_question(size) for size in SIZES), *_a_year_of_coats()]


def _one_question(readings: int) -> Figure:
    log, label = a_year(readings), LABELS[0]
    applied = datetime.fromtimestamp(float(log.seconds[readings // 4]), UTC)
    until = datetime.fromtimestamp(float(log.seconds[-2]), UTC)
    ours, theirs = age(label, log, applied, until).hours, scipy_age_h(label, log, applied, until)
    return Figure(
        name=f"one age, {readings:,} readings",
        clock_s=_quickest(lambda: age(label, log, applied, until)),
        peer_s=_quickest(lambda: scipy_age_h(label, log, applied, until)),
        off=abs(ours - theirs) / ours,
    )


def _a_year_of_coats() -> list[Figure]:
    log = a_year(YEAR_OF_READINGS)
    # Steps of whole readings, so that the peer, which knows only the readings, is asked for the same hours.
    coats = [(LABELS[i % len(LABELS)], START + timedelta(minutes=5 * 340 * i)) for i in range(COATS)]
    now = START + timedelta(minutes=5 * (YEAR_OF_READINGS - 1))

    def ask(asked: AirLog) -> list[float]:
        for label, applied in coats:
            dry_at(label, asked, applied, Dryness.RECOAT)
        return [age(label, asked, applied, now).hours for label, applied in coats]

    def ask_scipy() -> list[float]:
        return [scipy_age_h(label, log, applied, now) for label, applied in coats]

    ours, theirs = np.array(ask(log)), np.array(ask_scipy())
    off = float(np.max(np.abs(ours - theirs) / ours))
    peer_s = _quickest(ask_scipy)
    name = f"{COATS} coats, {YEAR_OF_READINGS:,} readings, age and dry time"
    anew_s = _quickest(lambda: ask(AirLog.from_arrays(log.seconds, log.air_c, log.rh_pct))) - _quickest(
        lambda: AirLog.from_arrays(log.seconds, log.air_c, log.rh_pct)
    )
    return [
        Figure(name=f"{name}, sums made", clock_s=anew_s, peer_s=peer_s, off=off),
        Figure(name=f"{name}, sums kept", clock_s=_quickest(lambda: ask(log)), peer_s=peer_s, off=off),
    ]


def _quickest(work: Callable[[], object]) -> float:
    """Give the seconds of the quickest round, over enough rounds to be worth the clock."""
    best, spent, rounds = float("inf"), 0.0, 0
    while rounds < FEWEST_ROUNDS or spent < SHORTEST_S:
        begin = perf_counter()
        work()
        took = perf_counter() - begin
        best, spent, rounds = min(best, took), spent + took, rounds + 1
    return best


def table(figures: list[Figure]) -> str:
    """Give the figures as a readable table."""
    head = f"{'dry clock':<64}{'ours':>12}{'scipy':>12}{'ratio':>9}{'off':>10}"
    lines = [
        f"{figure.name:<64}{figure.clock_s * 1e3:>9.3f} ms{figure.peer_s * 1e3:>9.3f} ms"
        f"{figure.ratio:>9.1f}{figure.off:>10.1e}"
        for figure in figures
    ]
    return "\n".join([head, *lines])


if __name__ == "__main__":
    print(table(measure()))
