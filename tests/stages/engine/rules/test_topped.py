"""Topped. Common practice, no published source."""

import pytest

from stages.engine.vocab import Gate
from tests.stages.engine.trade import a_coat, a_route, a_stage, a_work, asking_to_finish, refusals

HAND_OVER = a_stage("hand_over", gates=frozenset({Gate.HAND_OVER}))
FINAL = a_stage("final")


def found(*coats: object, spec: object = HAND_OVER) -> set[str]:
    work = a_work(route=a_route(HAND_OVER, FINAL), started=["hand_over", "final"], coats=coats)  # type: ignore[arg-type]
    return set(refusals(work, asking_to_finish(spec)))  # type: ignore[arg-type]


@pytest.mark.parametrize("surface", ["brightwork", "inside"])
def test_a_boat_with_bare_sealer_is_not_handed_over(surface: str) -> None:
    sealer, varnish = a_coat("sealer", on=surface), a_coat("varnish", on=surface)
    assert found(sealer, sealer) == {"topped"}
    assert found(sealer, sealer, varnish) == set()


def test_varnish_under_the_sealer_does_not_guard_it() -> None:
    assert found(a_coat("varnish"), a_coat("sealer")) == {"topped"}


def test_a_boat_without_sealer_needs_none() -> None:
    assert found(a_coat("varnish")) == set()
    assert found() == set()


def test_only_the_hand_over_asks() -> None:
    assert found(a_coat("sealer"), spec=FINAL) == set()
