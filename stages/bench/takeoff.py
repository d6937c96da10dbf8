"""How fast a take-off is, beside the mesh library's time for the same areas; and packs, beside a solver's."""

from collections.abc import Callable
from decimal import Decimal
from statistics import median
from time import perf_counter
from typing import Any

import numpy as np

from hulls.lines import Principal, measure, sizes_many
from hulls.lines.form import FINE, Measures, surface
from hulls.lines.skin import Array
from hulls.lines.types import DEFAULT
from hulls.materials import usual_materials
from hulls.takeoff import USUAL_WORK, Material, Need, Pack, choose_packs, take_off, take_off_many
from stages.bench.figures import Figure

MANY, BOATS = 1000, 60
ROUNDS = 7
ONE_S, MANY_S, PACKS_S = 0.020, 1.0, 1.0
SIZES = ((0.237, 9), (0.946, 25), (3.785, 74), (18.927, 310))  # litres, and a price of nobody's


def measure_take_off() -> list[Figure]:
    """Measure one take-off, a thousand of them, and the packs of sixty boats."""
    return [_one(), _many(), _packs()]


def _one() -> Figure:
    materials = usual_materials()
    lengths = iter(np.linspace(4.5, 5.4, 1000))  # another hull each time: nothing is remembered

    def ours() -> None:
        hull = Principal(length_m=float(next(lengths)), beam_m=0.88, depth_m=0.32, end_depth_m=0.6)
        take_off(measure(hull), USUAL_WORK, materials)

    one = np.array([4.9])
    return Figure(
        name="one take-off, lines to packs",
        ours_s=_median(ours),
        peer="trimesh, its area alone",
        peer_s=_trimesh_s(one),
        aim_s=ONE_S,
    )


def _many() -> Figure:
    materials = usual_materials()
    lengths = np.linspace(4.5, 5.4, MANY)
    beam, depth, ends = (np.full(MANY, value) for value in (0.88, 0.32, 0.6))
    return Figure(
        name=f"{MANY:,} take-offs at once, from four measures",
        ours_s=_median(lambda: take_off_many(sizes_many(lengths, beam, depth, ends), USUAL_WORK, materials)),
        peer="trimesh, their areas alone",
        peer_s=_trimesh_s(lengths),
        aim_s=MANY_S,
    )


def _trimesh_s(lengths: Array) -> float | None:
    """Seconds of the mesh library for the areas of the same skins from the same points; None where it is missing."""
    try:
        import trimesh  # of tests/requirements.txt
    except ImportError:
        return None
    one = np.ones_like(lengths)
    measures = Measures(length=lengths, beam=0.88 * one, depth=0.32 * one, end_depth=0.6 * one, rise=0.03 * one)
    net = surface(measures, DEFAULT.form, FINE)
    corners = np.stack([net.x, net.y, net.z], axis=-1).reshape(len(lengths), -1, 3)
    faces = _faces(*net.y.shape[1:])
    return _median(lambda: [trimesh.Trimesh(points, faces, process=False).area for points in corners], rounds=3)


def _faces(stations: int, points: int) -> Any:
    """Two triangles between each four neighbours of a net."""
    first = (np.arange(stations - 1)[:, None] * points + np.arange(points - 1)).ravel()
    over = first + points
    return np.concatenate([np.column_stack([first, over, over + 1]), np.column_stack([first, over + 1, first + 1])])


def _packs() -> Figure:
    """Sixty boats over a year, a product that keeps open for half a year: each boat on a day of its own."""
    packs = tuple(Pack(amount=amount, price=Decimal(price)) for amount, price in SIZES)
    varnish = Material(name="varnish", kind="varnish", keeps_open_days=180, packs=packs)
    chance = np.random.default_rng(11)
    amounts = chance.uniform(0.5, 6.0, BOATS).round(3)
    needs = [Need(product="varnish", amount=float(a), day=6 * n) for n, a in enumerate(amounts)]
    found = choose_packs(needs, [varnish])
    if found.status != "optimal":
        raise RuntimeError("The packs of the benchmark were not found.")
    return Figure(
        name=f"packs for {BOATS} boats over a year, proven",
        ours_s=_median(lambda: choose_packs(needs, [varnish])),
        peer="CP-SAT, without shelf life",
        peer_s=_solver_s(sum(amounts)),
        aim_s=PACKS_S,
    )


def _solver_s(amount: float) -> float:
    """Seconds of OR-Tools' CP-SAT for one purchase of the whole amount: the easier question."""
    from ortools.sat.python import cp_model

    def solve() -> None:
        model = cp_model.CpModel()
        counts = [model.new_int_var(0, 2000, "") for _size in SIZES]
        held = sum(n * round(size * 1000) for n, (size, _price) in zip(counts, SIZES, strict=True))
        model.add(held >= round(float(amount) * 1000))
        model.minimize(sum(n * price for n, (_size, price) in zip(counts, SIZES, strict=True)))
        solver = cp_model.CpSolver()
        solver.parameters.num_workers = 1
        if solver.solve(model) != cp_model.OPTIMAL:
            raise RuntimeError("CP-SAT did not prove its answer.")

    return _median(solve)


def _median(work: Callable[[], object], rounds: int = ROUNDS) -> float:
    work()
    taken = []
    for _ in range(rounds):
        begun = perf_counter()
        work()
        taken.append(perf_counter() - begun)
    return median(taken)
