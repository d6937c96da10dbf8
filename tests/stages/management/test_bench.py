"""`manage.py bench` measures in a database of its own, each figure beside its reference; no figure is tested."""

import json
import os
import subprocess
import sys
from pathlib import Path

from shop.launch.environment import ROOT


def test_it_prints_each_figure_beside_its_reference_and_leaves_the_shop_alone(tmp_path: Path) -> None:
    done = subprocess.run(
        [sys.executable, "manage.py", "bench", "--only", "engine", "--json"],
        cwd=ROOT,
        env={**os.environ, "DJANGO_SETTINGS_MODULE": "shop.settings", "RIBBAND_VAR": str(tmp_path)},
        capture_output=True,
        text=True,
    )
    assert done.returncode == 0, done.stderr
    (figure,) = json.loads(done.stdout)
    assert set(figure) == {"name", "ms", "reference", "reference_ms", "ratio", "aim_ms"}
    assert figure["ms"] > 0
    assert figure["reference_ms"] > 0
    assert not (tmp_path / "ribband.sqlite3").exists()


def test_plans_are_measured_beside_plain_cp_sat() -> None:
    asked = ["--boats", "2", "--seeds", "1", "--seconds", "1", "--instances", "ft06"]
    done = subprocess.run(
        [sys.executable, "manage.py", "bench", "planner", "--json", *asked], cwd=ROOT, capture_output=True, text=True
    )
    assert done.returncode == 0, done.stderr
    rows = json.loads(done.stdout)
    assert [row["name"] for row in rows] == [
        "2 boats: list plan",
        "2 boats: after a tap, p95",
        "2 boats: local search, 1 s",
        "2 boats: improver, 1 s",
        "2 boats: peak memory",
        "ft06, 1 s: optima of 1",
        "ft06, 1 s: mean gap",
    ]
    assert all(row["ours"] >= 0 for row in rows)
