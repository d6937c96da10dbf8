"""Reading docker-compose.yml the way its tool does, as far as this file needs it."""

import re
from pathlib import Path
from typing import Any

import yaml

from shop.launch.environment import ROOT

FILE = ROOT / "docker-compose.yml"
SCHEMA = Path(__file__).parent.parent / "vendor" / "compose.schema.json"
VARIABLE = re.compile(r"\$\{(\w+)(?::([-?])([^}]*))?\}")


def read() -> dict[str, Any]:
    """Read the file as it stands."""
    parsed: dict[str, Any] = yaml.safe_load(FILE.read_text())
    return parsed


def filled_in(value: str, variables: dict[str, str]) -> str:
    """Put the values of the environment in place of ${NAME}, ${NAME:-default} and ${NAME:?what is missing}."""

    def value_of(found: re.Match[str]) -> str:
        name, kind, rest = found.groups()
        if kind == "-":
            return variables.get(name) or rest
        return variables[name]

    return VARIABLE.sub(value_of, value)
