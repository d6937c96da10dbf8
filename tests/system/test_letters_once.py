"""A worker killed over a letter, with a real mail server: the letter goes out, and its owner has one."""

from contextlib import ExitStack
from datetime import UTC, datetime
from email import message_from_bytes
from pathlib import Path

import pytest

from tests.fixtures.post_office import PostOffice
from tests.fixtures.processes import end, kill_group, wait_for
from tests.fixtures.servers import RedisServer
from tests.system.database import WITH_EFFECTS, PostgresTables, SqliteTables, rows
from tests.system.shop import ShopUnderTest

# A plan is no part of this, and would keep the worker from the letter for as long as it takes: it lies until tomorrow.
A_LETTER = """
from datetime import timedelta
from django.utils import timezone
from hulls.models import Message
from shop.models import Job
from tests.stages.out_tray import a_letter_waiting, a_shop_that_writes
from stages.services.messages import wake
a_shop_that_writes()
letter = a_letter_waiting()
Message.objects.update(due_at=timezone.now())
assert Job.objects.filter(name="plan").update(due_at=timezone.now() + timedelta(days=1))
wake(letter, timezone.now())
"""
LEFT = "SELECT key FROM shop_job WHERE name = 'message' AND due_at <= '{now}' AND state <> 'done'"
HOW_IT_STANDS = "SELECT state, attempts FROM hulls_message"


@pytest.fixture
def on_files_and_sqlite(tmp_path: Path, post_office: PostOffice, sqlite_tables: SqliteTables) -> ShopUnderTest:
    """The laptop's set-up, with a mail server."""
    database = sqlite_tables.new(WITH_EFFECTS, tmp_path / "ribband.sqlite3")
    return ShopUnderTest(folder=tmp_path, database=database, settings=mail(post_office))


@pytest.fixture
def on_redis_and_postgres(
    tmp_path: Path, post_office: PostOffice, redis_server: RedisServer, postgres_tables: PostgresTables
) -> ShopUnderTest:
    """The set-up of several machines, with a mail server."""
    settings = {"RIBBAND_BROKER_URL": redis_server.new_database(), **mail(post_office)}
    database = postgres_tables.new(WITH_EFFECTS)
    return ShopUnderTest(folder=tmp_path, database=database, settings=settings, pool=["-c", "2"])


def mail(office: PostOffice) -> dict[str, str]:
    return {
        "RIBBAND_EMAIL_URL": f"smtp://127.0.0.1:{office.port}",
        "RIBBAND_EMAIL_FROM": "shop@example.org",
    }


def test_killed_before_the_server_has_it_the_letter_goes_out_once(
    on_files_and_sqlite: ShopUnderTest, post_office: PostOffice
) -> None:
    post_office.stalls = True
    check(on_files_and_sqlite, post_office)
    assert len(post_office.came) == 1


def test_killed_before_the_server_s_last_word_the_same_letter_goes_out_again(
    on_files_and_sqlite: ShopUnderTest, post_office: PostOffice
) -> None:
    post_office.hangs = True
    check(on_files_and_sqlite, post_office)
    first, second = post_office.came
    assert first == second
    assert message_from_bytes(first)["Message-ID"]


def test_killed_on_several_machines_the_same_letter_goes_out_again(
    on_redis_and_postgres: ShopUnderTest, post_office: PostOffice
) -> None:
    post_office.hangs = True
    check(on_redis_and_postgres, post_office)
    first, second = post_office.came
    assert first == second


def check(shop: ShopUnderTest, office: PostOffice) -> None:
    """Kill the worker while the mail server holds it up; the next one sends the letter, and no later one does."""
    shop.prepare()
    shop.manage("shell", "-v0", "-c", A_LETTER)
    with ExitStack() as stack:
        shop.beat(stack)
        worker = shop.worker()
        wait_for("the mail server holds the worker up", lambda: office.came if office.hangs else office.asked)
        kill_group(worker)
        assert rows(shop.database, HOW_IT_STANDS) == [("sending", 1)]
        office.hangs = office.stalls = False
        last = shop.worker()
        stack.callback(end, last)
        wait_for("the letter is sent", lambda: rows(shop.database, HOW_IT_STANDS) == [("sent", 2)], every_s=0.1)
        so_far = len(office.came)
        wait_for("every look at it is over", lambda: not left(shop), every_s=0.1)
    assert len(office.came) == so_far


def left(shop: ShopUnderTest) -> list[tuple[str]]:
    """The jobs of letters that are due and not done."""
    return rows(shop.database, LEFT.format(now=f"{datetime.now(UTC):%Y-%m-%d %H:%M:%S.%f}+00"))
