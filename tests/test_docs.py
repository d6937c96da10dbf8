"""What the documents quote is there: commands, files, settings, links."""

import re
from pathlib import Path

import pytest
from django.core.management import get_commands

from shop.launch.environment import ROOT

README, DEVELOPERS = (ROOT / name for name in ("README.md", "DEVELOPERS.md"))
OWN_COMMANDS = {"start", "test"}  # run before there is Django


@pytest.mark.parametrize("document", [README, DEVELOPERS], ids=lambda path: path.name)
def test_every_command_that_is_quoted_exists(document: Path) -> None:
    quoted = set(re.findall(r"manage\.py ([a-z_]+)", document.read_text()))
    assert quoted
    assert quoted <= OWN_COMMANDS | set(get_commands())


def test_every_setting_is_listed_and_every_listed_one_is_read() -> None:
    read = set(re.findall(r'env\.\w+\("(RIBBAND_\w+)"', (ROOT / "shop" / "settings.py").read_text()))
    listed = set(re.findall(r"^\| `(RIBBAND_\w+)`", DEVELOPERS.read_text(), re.MULTILINE))
    assert read == listed


def test_every_default_that_is_listed_is_the_default() -> None:
    source = (ROOT / "shop" / "settings.py").read_text()
    numbers = re.findall(r"^\| `(RIBBAND_\w+)` \| (\d+) \|", DEVELOPERS.read_text(), re.MULTILINE)
    assert numbers
    for name, number in numbers:
        found = re.search(rf'"{name}", default=([\d_]+)', source)
        assert found is not None
        assert int(found.group(1)) == int(number)


@pytest.mark.parametrize("document", [README, DEVELOPERS], ids=lambda path: path.name)
def test_every_file_that_is_named_exists(document: Path) -> None:
    text = document.read_text()
    linked = re.findall(r"\]\((?!https?:)([^)]+)\)", text)
    named = re.findall(r"`((?:shop|hulls|stages|templates|tests|\.ci)/[\w./]*)`", text)
    written = {name for name in [*linked, *named] if "NAME" not in name}
    assert written
    assert [name for name in sorted(written) if not (ROOT / name).exists()] == []
