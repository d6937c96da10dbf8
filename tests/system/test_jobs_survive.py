"""Jobs with their worker killed in the midst of them, on each set-up that the program runs on, with real processes."""

from contextlib import ExitStack
from pathlib import Path

import pytest

from tests.fixtures.processes import end, wait_for
from tests.fixtures.servers import RedisServer
from tests.system.database import WITH_EFFECTS, PostgresTables, SqliteTables
from tests.system.shop import ShopUnderTest

JOBS, TWICE, KILLS = 60, 5, 3


@pytest.fixture
def on_files_and_sqlite(tmp_path: Path, sqlite_tables: SqliteTables) -> ShopUnderTest:
    """The laptop's set-up: no other service."""
    return ShopUnderTest(folder=tmp_path, database=sqlite_tables.new(WITH_EFFECTS, tmp_path / "ribband.sqlite3"))


@pytest.fixture
def on_redis_and_sqlite(on_files_and_sqlite: ShopUnderTest, redis_server: RedisServer) -> ShopUnderTest:
    """Redis carries the hints."""
    on_files_and_sqlite.settings["RIBBAND_BROKER_URL"] = redis_server.new_database()
    return on_files_and_sqlite


@pytest.fixture
def on_redis_and_postgres(tmp_path: Path, redis_server: RedisServer, postgres_tables: PostgresTables) -> ShopUnderTest:
    """The set-up of several machines: Redis, PostgreSQL, a worker of two processes."""
    redis = {"RIBBAND_BROKER_URL": redis_server.new_database()}
    database = postgres_tables.new(WITH_EFFECTS)
    return ShopUnderTest(folder=tmp_path, database=database, settings=redis, pool=["-c", "2"])


def test_each_job_counts_once_on_files_and_sqlite(on_files_and_sqlite: ShopUnderTest) -> None:
    check_each_job_counts_once(on_files_and_sqlite)


def test_each_job_counts_once_on_redis_and_sqlite(on_redis_and_sqlite: ShopUnderTest) -> None:
    check_each_job_counts_once(on_redis_and_sqlite)


def test_each_job_counts_once_on_redis_and_postgres(on_redis_and_postgres: ShopUnderTest) -> None:
    check_each_job_counts_once(on_redis_and_postgres)


def check_each_job_counts_once(shop: ShopUnderTest) -> None:
    """Kill the worker several times among the jobs: each gets done with one effect, the rolled-back one with none."""
    shop.prepare()
    shop.manage("write_down", "--jobs", str(JOBS), "--twice", str(TWICE), "--seconds", "0.1")
    with ExitStack() as stack:
        shop.beat(stack)
        for kill in range(KILLS):
            shop.kill_worker_in_a_job(shop.worker(), after=5 + 12 * kill)
        last = shop.worker()
        stack.callback(end, last)
        wait_for("all jobs are done", shop.is_all_done, every_s=0.1)
    jobs = shop.jobs()
    assert set(jobs) == {f"job-{number}" for number in range(JOBS)}
    assert {job["effects"] for job in jobs.values()} == {1}
    assert shop.effects() == JOBS
    interrupted = [job for job in jobs.values() if job["attempts"] > 1]
    assert interrupted, "no kill hit a job in hand, so this run proved nothing"
    assert shop.begun_count() == sum(job["attempts"] for job in jobs.values())
