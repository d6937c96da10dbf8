"""Redis gone while jobs are written down, and back again: the hints are lost, the jobs are not."""

from contextlib import ExitStack
from pathlib import Path

from tests.fixtures.processes import end, wait_for
from tests.fixtures.servers import RedisApart
from tests.system.database import WITH_EFFECTS, SqliteTables
from tests.system.shop import ShopUnderTest


def test_jobs_written_down_while_redis_is_away_are_done_when_it_is_back(
    tmp_path: Path, sqlite_tables: SqliteTables, redis_apart: RedisApart
) -> None:
    database = sqlite_tables.new(WITH_EFFECTS, tmp_path / "ribband.sqlite3")
    shop = ShopUnderTest(folder=tmp_path, database=database, settings={"RIBBAND_BROKER_URL": redis_apart.url})
    shop.prepare()
    with ExitStack() as stack:
        with redis_apart.running():
            shop.beat(stack)
            stack.callback(end, shop.worker())
            shop.manage("write_down", "--jobs", "1")
            wait_for("the first job is done", shop.is_all_done, every_s=0.1)
        shop.manage("write_down", "--jobs", "3")
        assert {key: job["state"] for key, job in shop.jobs().items()} == {
            "job-0": "done",
            "job-1": "waiting",
            "job-2": "waiting",
        }
        with redis_apart.running():
            wait_for("the other jobs are done", shop.is_all_done, every_s=0.1)
    assert {key: job["effects"] for key, job in shop.jobs().items()} == {"job-0": 1, "job-1": 1, "job-2": 1}
