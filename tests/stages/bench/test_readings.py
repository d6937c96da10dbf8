"""What the benchmark sends is what a sensor would; how fast it is taken in is not tested."""

from datetime import UTC, datetime

import pytest
from django.db import connection

from shop.readings.payload import read_items
from stages.bench.readings import BareTable, rows_until

END = datetime(2026, 6, 1, tzinfo=UTC)


def test_readings_are_five_minutes_apart_and_all_of_them_good() -> None:
    rows = rows_until(END, 300)
    assert (rows[-1][0], rows[-2][0]) == ("2026-06-01T00:00:00Z", "2026-05-31T23:55:00Z")
    sent, refused = read_items([{"at": at, "temp_c": c, "rh_pct": pct} for at, c, pct in rows], END)
    assert (len(sent), refused) == (300, [])


@pytest.mark.django_db
def test_the_bare_table_is_gone_afterwards() -> None:
    with BareTable() as bare:
        bare.insert(rows_until(END, 3))
        assert "bare" in connection.introspection.table_names()
    assert "bare" not in connection.introspection.table_names()
