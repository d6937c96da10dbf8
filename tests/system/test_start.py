"""`manage.py start` from a copy of the checkout: it serves, refuses in sentences, mends itself and stops cleanly."""

import os
import signal
import socket
import sqlite3
from collections.abc import Iterator
from pathlib import Path
from urllib.request import urlopen

import pytest

from tests.fixtures.processes import end, wait_for
from tests.system.checkout import Checkout, Started, children_of, stopped

CHILDREN = ("-m granian", "shop worker", "shop beat")


@pytest.fixture(scope="module")
def checkout(tmp_path_factory: pytest.TempPathFactory) -> Checkout:
    """A bare copy of the checkout; the first start makes its environment."""
    bare = Checkout.at(tmp_path_factory.mktemp("stranger") / "ribband")
    assert not (bare.folder / ".venv").exists()
    return bare


@pytest.fixture(scope="module")
def starts() -> Iterator[list[Started]]:
    """Every start of these tests; the last one may still be running."""
    starts: list[Started] = []
    yield starts
    for started in starts:
        end(started.process, within_s=30)


@pytest.fixture
def started(checkout: Checkout, starts: list[Started]) -> Started:
    """The program serving: as the test before left it, or started again where that one stopped it."""
    if not starts or starts[-1].has_ended():
        serve(checkout, starts)
    return starts[-1]


@pytest.fixture
def stopped_checkout(checkout: Checkout, starts: list[Started]) -> Checkout:
    """The checkout with its environment and its data, and nothing running on them."""
    if not starts:
        serve(checkout, starts)
    for started in starts:
        end(started.process, within_s=30)
    return checkout


def serve(checkout: Checkout, starts: list[Started]) -> None:
    """Start it once more."""
    starts.append(checkout.start())
    starts[-1].wait_until_served()
    checkout.put_off_the_plan()


def test_a_bare_checkout_with_an_empty_home_is_served_by_one_command(started: Started, starts: list[Started]) -> None:
    assert "Making the virtual environment" in starts[0].said()
    assert started.answers()


def test_it_serves_says_where_and_stops_cleanly_on_ctrl_c(started: Started) -> None:
    assert f"Ribband is at http://127.0.0.1:{started.port}/" in started.said()
    tree = started.tree()
    assert all(started.the(part) for part in CHILDREN), tree
    assert stopped(started, signal.SIGINT) == 0
    assert not [pid for pid in tree if is_alive(pid)]
    assert "Traceback" not in started.said()


def test_it_stops_cleanly_on_sigterm(started: Started) -> None:
    tree = started.tree()
    assert stopped(started, signal.SIGTERM) == 0
    assert not [pid for pid in tree if is_alive(pid)]


def test_it_serves_its_pages_dressed(started: Started) -> None:
    with urlopen(f"http://127.0.0.1:{started.port}/login/") as page:
        text = page.read().decode()
    sheets = [part.split('"')[0] for part in text.split('href="') if part.split('"')[0].endswith(".css")]
    assert sheets
    for sheet in sheets:
        with urlopen(f"http://127.0.0.1:{started.port}{sheet}") as answer:
            assert answer.headers["Content-Type"].startswith("text/css")
            assert "immutable" in answer.headers["Cache-Control"]


def test_a_second_start_on_the_same_data_is_refused_in_a_sentence(checkout: Checkout, started: Started) -> None:
    second = checkout.start()
    assert second.process.wait(60) == 1
    assert "Ribband is already running" in second.said()
    assert f"http://127.0.0.1:{started.port}/" in second.said()
    assert "Traceback" not in second.said()
    assert started.answers()


def test_a_port_that_is_taken_is_refused_in_a_sentence(stopped_checkout: Checkout) -> None:
    with socket.create_server(("127.0.0.1", 0)) as taken:
        port = taken.getsockname()[1]
        refused = stopped_checkout.start(port=port)
        assert refused.process.wait(60) == 1
    assert f"Cannot listen on 127.0.0.1:{port}: another program listens there." in refused.said()
    assert "Traceback" not in refused.said()


@pytest.mark.parametrize("part", CHILDREN)
def test_a_killed_child_comes_back(started: Started, part: str) -> None:
    killed = started.the(part)
    assert killed
    os.kill(killed, signal.SIGKILL)
    wait_for("another one runs", lambda: started.the(part) not in (killed, None))
    wait_for("the shop is served", started.answers)


def test_a_killed_web_server_leaves_no_worker_that_answers_beside_the_new_one(started: Started) -> None:
    master = started.the("granian")
    assert master
    workers = children_of(master)
    assert workers
    os.kill(master, signal.SIGKILL)
    wait_for("its workers are gone", lambda: not [pid for pid in workers if is_alive(pid)])
    wait_for("the shop is served", started.answers)


def test_nothing_is_left_when_the_program_itself_is_killed(started: Started) -> None:
    tree = started.tree()
    os.kill(started.process.pid, signal.SIGKILL)
    wait_for("its children are gone", lambda: not [pid for pid in tree if is_alive(pid)])


def test_a_fresh_start_begins_again_and_touches_nothing_outside_var(
    stopped_checkout: Checkout, starts: list[Started]
) -> None:
    checkout = stopped_checkout
    kept = checkout.folder / "var" / "secret-key"
    photo, note = checkout.folder / "var" / "media" / "photo.jpg", checkout.folder / "note.txt"
    photo.parent.mkdir(parents=True, exist_ok=True)
    for file in (photo, note):
        file.write_text("x")
    key = kept.read_text()
    with sqlite3.connect(checkout.database) as old:
        old.execute("CREATE TABLE of_the_old_shop (id)")
    old.close()
    starts.append(checkout.start("--fresh"))
    starts[-1].wait_until_served()
    assert (photo.exists(), note.exists(), kept.read_text()) == (False, True, key)
    with sqlite3.connect(checkout.database) as new:
        assert not new.execute("SELECT 1 FROM sqlite_master WHERE name = 'of_the_old_shop'").fetchall()
    new.close()


def is_alive(pid: int) -> bool:
    """Tell whether a process still runs; one that ended and waits to be noticed does not."""
    try:
        return Path(f"/proc/{pid}/stat").read_text().rsplit(")", 1)[1].split()[0] != "Z"
    except (FileNotFoundError, ProcessLookupError):
        return False
