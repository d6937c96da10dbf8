"""A worker killed over a letter, with a real mail server: the letter goes out, and its owner has one."""

from contextlib import ExitStack
from email import message_from_bytes
from pathlib import Path

import pytest

from tests.fixtures.post_office import PostOffice
from tests.fixtures.processes import end, kill_group, wait_for
from tests.fixtures.servers import PostgresServer, RedisServer
from tests.system.shop import ShopUnderTest

A_LETTER = """
from django.utils import timezone
from hulls.models import Message
from tests.stages.out_tray import a_letter_waiting, a_shop_that_writes
from stages.services.messages import wake
a_shop_that_writes()
letter = a_letter_waiting()
Message.objects.update(due_at=timezone.now())
wake(letter, timezone.now())
"""
LEFT = """
from django.utils import timezone
from shop.models import Job
print(Job.objects.filter(name="message", due_at__lte=timezone.now()).exclude(state="done").count())
"""
HOW_IT_STANDS = """
from hulls.models import Message
print(*Message.objects.values_list("state", "attempts").get())
"""


@pytest.fixture
def on_files_and_sqlite(tmp_path: Path, post_office: PostOffice) -> ShopUnderTest:
    """The laptop's set-up, with a mail server."""
    return ShopUnderTest(folder=tmp_path, settings=mail(post_office))


@pytest.fixture
def on_redis_and_postgres(
    tmp_path: Path, post_office: PostOffice, redis_server: RedisServer, postgres_server: PostgresServer
) -> ShopUnderTest:
    """The set-up of several machines, with a mail server."""
    urls = {
        "RIBBAND_BROKER_URL": redis_server.new_database(),
        "RIBBAND_DATABASE_URL": postgres_server.new_database(),
    }
    return ShopUnderTest(folder=tmp_path, settings={**urls, **mail(post_office)}, pool=["-c", "2"])


def mail(office: PostOffice) -> dict[str, str]:
    return {
        "RIBBAND_EMAIL_URL": f"smtp://127.0.0.1:{office.port}",
        "RIBBAND_EMAIL_FROM": "shop@example.org",
        "RIBBAND_JOB_LEASE_SECONDS": "3",
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
        assert stands(shop) == "sending 1"
        office.hangs = office.stalls = False
        last = shop.worker()
        stack.callback(end, last)
        wait_for("the letter is sent", lambda: stands(shop) == "sent 2", every_s=1.0)
        so_far = len(office.came)
        wait_for(
            "every look at it is over", lambda: shop.manage("shell", "-v0", "-c", LEFT).strip() == "0", every_s=1.0
        )
    assert len(office.came) == so_far


def stands(shop: ShopUnderTest) -> str:
    return shop.manage("shell", "-v0", "-c", HOW_IT_STANDS).strip()
