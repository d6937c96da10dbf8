"""The two databases that the program runs on, as settings of its processes, with its tables in them."""

import shutil
from pathlib import Path

import pytest

from tests.fixtures.servers import PostgresServer
from tests.system.at_once import manage
from tests.system.database import PLAIN, PostgresTables, SqliteTables


@pytest.fixture(scope="session")
def sqlite_tables(tmp_path_factory: pytest.TempPathFactory) -> SqliteTables:
    """Files that are copied: whoever looks at the migrations themselves asks for none of them."""
    return SqliteTables(folder=tmp_path_factory.mktemp("tables"))


@pytest.fixture(scope="session")
def postgres_tables(postgres_server: PostgresServer, tmp_path_factory: pytest.TempPathFactory) -> PostgresTables:
    """Databases that are copied."""
    return PostgresTables(server=postgres_server, folder=tmp_path_factory.mktemp("tables"), made={})


@pytest.fixture
def on_sqlite(tmp_path: Path, sqlite_tables: SqliteTables) -> dict[str, str]:
    """The laptop's database."""
    url = sqlite_tables.new(PLAIN, tmp_path / "ribband.sqlite3")
    return {"DJANGO_SETTINGS_MODULE": PLAIN, "RIBBAND_VAR": str(tmp_path), "RIBBAND_DATABASE_URL": url}


@pytest.fixture
def on_postgres(tmp_path: Path, postgres_tables: PostgresTables) -> dict[str, str]:
    """The database of several machines, where two look before either writes."""
    url = postgres_tables.new(PLAIN)
    return {"DJANGO_SETTINGS_MODULE": PLAIN, "RIBBAND_VAR": str(tmp_path), "RIBBAND_DATABASE_URL": url}


@pytest.fixture(scope="session")
def collected(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The static files as the web server serves them, hashed and compressed once."""
    var = tmp_path_factory.mktemp("collected")
    manage({"DJANGO_SETTINGS_MODULE": PLAIN, "RIBBAND_VAR": str(var)}, "collectstatic", "--noinput", "-v0")
    return var / "static"


@pytest.fixture
def with_static_files(tmp_path: Path, collected: Path) -> Path:
    """A folder of a test's own that holds them."""
    return shutil.copytree(collected, tmp_path / "static")
