"""The two databases that the program runs on, as settings of its processes."""

from pathlib import Path

import pytest

from tests.fixtures.servers import PostgresServer


@pytest.fixture
def on_sqlite(tmp_path: Path) -> dict[str, str]:
    """The laptop's database."""
    return {"DJANGO_SETTINGS_MODULE": "shop.settings", "RIBBAND_VAR": str(tmp_path)}


@pytest.fixture
def on_postgres(on_sqlite: dict[str, str], postgres_server: PostgresServer) -> dict[str, str]:
    """The database of several machines, where two look before either writes."""
    return {**on_sqlite, "RIBBAND_DATABASE_URL": postgres_server.new_database()}
