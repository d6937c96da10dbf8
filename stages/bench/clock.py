"""How fast the dry clock answers, beside a plain integration of the same air by scipy (tests/requirements.txt)."""

from collections.abc import Callable
from datetime import UTC, datetime, timedelta
from statistics import median
from time import perf_counter

import numpy as np

from stages.bench.figures import Figure
from stages.engine.airlog import AirLog
from stages.engine.dryclock import age, dry_at, rate
from stages.engine.label import Dryness, Family, Label

START = datetime(2025, 1, 1, tzinfo=UTC)
YEAR_OF_READINGS = 105_120
COATS = 300
PEER = "scipy trapezoid"
ONE_CLOCK_S = 0.0001
ALL_CLOCKS_S = 0.050
SIZES = (1_000, 10_000, 100_000, 1_000_000)
FEWEST_ROUNDS = 5
SHORTEST_S = 0.2

LABELS = (
    Label(family=Family.OXIDATIVE, hours={Dryness.RECOAT: 16.0}, lowest_c=5.0),
    Label(family=Family.OXIDATIVE, hours={Dryness.RECOAT: 24.0}, table=((10, 36), (23, 16), (35, 9)), lowest_c=8.0),
    Label(family=Family.WATER, hours={Dryness.RECOAT: 4.0}, lowest_c=10.0),
    Label(family=Family.SOLVENT, hours={Dryness.RECOAT: 48.0}, lowest_c=0.0),
)


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
    """Give the same age by scipy: the trapezoidal rule over the readings in between, which blurs a jump in the rate."""
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
    age(label, log, applied, until)  # the sums are made once and kept
    return Figure(
        name=f"one age, {readings:,} readings",
        ours_s=_usual(lambda: age(label, log, applied, until)),
        peer=PEER,
        peer_s=_usual(lambda: scipy_age_h(label, log, applied, until)),
        aim_s=ONE_CLOCK_S,
    )


def _a_year_of_coats() -> list[Figure]:
    log = a_year(YEAR_OF_READINGS)
    # Steps of whole readings, so that the peer, which knows only the readings, is asked for the same hours.
    coats = [(LABELS[i % len(LABELS)], START + timedelta(minutes=5 * 340 * i)) for i in range(COATS)]
    now = START + timedelta(minutes=5 * (YEAR_OF_READINGS - 1))

    def ask(asked: AirLog) -> None:
        for label, applied in coats:
            dry_at(label, asked, applied, Dryness.RECOAT)
            age(label, asked, applied, now)

    def ask_scipy() -> None:
        for label, applied in coats:
            scipy_age_h(label, log, applied, now)

    def load() -> AirLog:
        return AirLog.from_arrays(log.seconds, log.air_c, log.rh_pct)

    peer_s = _usual(ask_scipy)
    anew_s = _usual(lambda: ask(load())) - _usual(load)
    return [
        Figure(name=f"{COATS} coats, a year, sums made", ours_s=anew_s, peer=PEER, peer_s=peer_s, aim_s=ALL_CLOCKS_S),
        Figure(
            name=f"{COATS} coats, a year, sums kept",
            ours_s=_usual(lambda: ask(log)),
            peer=PEER,
            peer_s=peer_s,
            aim_s=ALL_CLOCKS_S,
        ),
    ]


def _usual(work: Callable[[], object]) -> float:
    """Give the median seconds of a round, over enough rounds to be worth the clock."""
    took: list[float] = []
    while len(took) < FEWEST_ROUNDS or sum(took) < SHORTEST_S:
        begin = perf_counter()
        work()
        took.append(perf_counter() - begin)
    return median(took)
