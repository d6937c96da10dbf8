"""Databases with the program's tables in them, made once and copied for each test; and what stands in them."""

import shutil
import sqlite3
from contextlib import closing
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import psycopg

from tests.fixtures.servers import PostgresServer
from tests.system.at_once import manage

PLAIN, WITH_EFFECTS = "shop.settings", "tests.system.effects.settings"


@dataclass(slots=True, kw_only=True)
class SqliteTables:
    """Database files with the tables of some settings: the first copy of each is what is copied."""

    folder: Path

    def new(self, settings: str, file: Path) -> str:
        """Copy the tables into a file of a test's own, and return its URL."""
        made = self.folder / settings
        if not made.exists():
            made.mkdir()
            migrate(settings, f"sqlite:///{made / file.name}", made)
        file.parent.mkdir(parents=True, exist_ok=True)
        for part in made.glob(f"{file.name}*"):  # what is not in the file yet lies beside it
            shutil.copy(part, file.parent)
        return f"sqlite:///{file}"


@dataclass(slots=True, kw_only=True)
class PostgresTables:
    """Databases with the tables of some settings, by name; nobody is connected to them."""

    server: PostgresServer
    folder: Path
    made: dict[str, str]

    def new(self, settings: str) -> str:
        """Copy the tables into a database of a test's own, and return its URL."""
        if settings not in self.made:
            self.made[settings] = self.server.new_database()
            migrate(settings, self.made[settings], self.folder)
        return self.server.new_database(like=self.made[settings].rsplit("/", 1)[1])


def migrate(settings: str, url: str, var: Path) -> None:
    """Make the tables, as the program itself does."""
    here = {"DJANGO_SETTINGS_MODULE": settings, "RIBBAND_VAR": str(var), "RIBBAND_DATABASE_URL": url}
    manage(here, "migrate", "-v0")


def rows(url: str, query: str) -> list[tuple[Any, ...]]:
    """Ask a database itself, without starting a process of the program."""
    if url.startswith("sqlite:///"):
        with closing(sqlite3.connect(url.removeprefix("sqlite:///"), timeout=20)) as connection:
            return connection.execute(query).fetchall()
    with psycopg.connect(url) as connection:
        return connection.execute(query.encode()).fetchall()
