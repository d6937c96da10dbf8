"""The pure core stays pure: imported in a Python of its own, it brings no framework along."""

import subprocess
import sys
from pathlib import Path

import pytest

from shop.launch.environment import ROOT

PURE = (
    "hulls.estimate",
    "hulls.lines",
    "hulls.photos",
    "hulls.takeoff",
    "stages.planner",
    "stages.advice",
    "stages.engine",
    "stages.pictures",
)
FRAMEWORKS = ("django", "celery", "redis", "shop.settings")
IMPORT_ALL = """
import importlib, pkgutil, sys
package = importlib.import_module(sys.argv[1])
for module in pkgutil.walk_packages(package.__path__, package.__name__ + "."):
    importlib.import_module(module.name)
print(*sorted(sys.modules), sep="\\n")
"""


def modules_after_importing(package: str, *, at: Path = ROOT) -> set[str]:
    """Import a package with all that is in it in a fresh Python, and return what was loaded."""
    command = [sys.executable, "-c", IMPORT_ALL, package]
    done = subprocess.run(command, cwd=at, capture_output=True, text=True)
    assert done.returncode == 0, done.stderr
    return set(done.stdout.split())


@pytest.mark.parametrize("package", PURE)
def test_a_pure_package_loads_no_framework(package: str) -> None:
    loaded = modules_after_importing(package)
    assert package in loaded
    assert loaded.isdisjoint(FRAMEWORKS)


def test_a_framework_would_be_seen_where_a_module_deep_inside_loads_it(tmp_path: Path) -> None:
    inside = tmp_path / "planted" / "deep"
    inside.mkdir(parents=True)
    (tmp_path / "planted" / "__init__.py").touch()
    (inside / "__init__.py").touch()
    (inside / "module.py").write_text("import django\n")
    assert "django" in modules_after_importing("planted", at=tmp_path)


def test_what_runs_before_the_environment_exists_needs_the_standard_library_only() -> None:
    bare = "import sys; sys.path[:] = [p for p in sys.path if 'site-packages' not in p]; import shop.launch.environment"
    command = [sys.executable, "-S", "-c", bare + ", shop.launch.debian, shop.launch.suite"]
    done = subprocess.run(command, cwd=ROOT, capture_output=True, text=True)
    assert done.returncode == 0, done.stderr
