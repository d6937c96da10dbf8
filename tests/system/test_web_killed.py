"""The web process is killed in the midst of posted actions: what was answered is there, and nothing is there twice."""

import threading
import urllib.error
import urllib.parse
import urllib.request
from collections.abc import Callable
from dataclasses import dataclass, field
from pathlib import Path
from uuid import UUID, uuid4

import pytest

from shop.launch.start import commands
from tests.fixtures.processes import free_port, kill_group, listens, running, spawn, wait_for
from tests.system.at_once import manage
from tests.system.database import rows

POSTS, PHONES, KILL_AFTER = 200, 4, 60
CSRF = "c" * 32
PREPARE = """
from django.test import Client
from tests.factories import a_crew_member, a_hull, a_shop
a_shop()
for n in range(4):
    a_hull(f"H-{n}")
client = Client()
client.force_login(a_crew_member())
print(client.cookies["sessionid"].value)
"""
NOTED = "SELECT client_id FROM stages_entry WHERE kind = 'note'"


@dataclass(kw_only=True)
class Phones:
    """Phones at the bench that post notes, and what each was answered."""

    port: int
    session: str
    answered: set[str] = field(default_factory=set)
    cut_off: set[str] = field(default_factory=set)
    lock: threading.Lock = field(default_factory=threading.Lock)

    def post(self, number: int, client_id: str) -> None:
        """Post one note and keep whether it was answered."""
        status = self._status(number, client_id)
        with self.lock:
            if status == 200:
                self.answered.add(client_id)
                self.cut_off.discard(client_id)
            else:
                self.cut_off.add(client_id)

    def post_all(self, posts: list[tuple[int, str]], when: Callable[[int], None] = lambda answered: None) -> None:
        """Post from several phones at once."""

        def of_one(phone: int) -> None:
            for number, client_id in posts[phone::PHONES]:
                self.post(number, client_id)
                when(len(self.answered))

        threads = [threading.Thread(target=of_one, args=(phone,)) for phone in range(PHONES)]
        for thread in threads:
            thread.start()
        for thread in threads:
            thread.join()

    def _status(self, number: int, client_id: str) -> int:
        form = {"client_id": client_id, "text": f"note {number}", "at": "", "override": "", "stage": ""}
        request = urllib.request.Request(
            f"http://127.0.0.1:{self.port}/hulls/H-{number % 4}/do/note/",
            data=urllib.parse.urlencode(form).encode(),
            headers={
                "Cookie": f"sessionid={self.session}; csrftoken={CSRF}",
                "X-CSRFToken": CSRF,
                "HX-Request": "true",
            },
        )
        try:
            with urllib.request.urlopen(request, timeout=30) as answer:
                status: int = answer.status
                return status
        except urllib.error.HTTPError as error:
            return error.code
        except OSError:
            return 0


@pytest.mark.usefixtures("with_static_files")
def test_on_sqlite_every_answered_action_survives_the_kill(on_sqlite: dict[str, str], tmp_path: Path) -> None:
    check_answered_actions_survive(on_sqlite, tmp_path / "log")


@pytest.mark.usefixtures("with_static_files")
def test_on_postgres_every_answered_action_survives_the_kill(on_postgres: dict[str, str], tmp_path: Path) -> None:
    check_answered_actions_survive(on_postgres, tmp_path / "log")


def check_answered_actions_survive(settings: dict[str, str], log: Path) -> None:
    """Kill the web server's processes once some posts are answered; send the rest, and the cut-off ones again."""
    session = manage(settings, "shell", "-v0", "-c", PREPARE).split()[-1]
    port = free_port()
    web = commands(port)["web server"]
    phones = Phones(port=port, session=session)
    posts = [(number, str(uuid4())) for number in range(POSTS)]
    first = spawn(web, log=log, env=settings)
    killed = threading.Event()

    def kill_in_the_midst(answered: int) -> None:
        if answered >= KILL_AFTER and not killed.is_set():
            killed.set()
            kill_group(first)

    wait_for("the web server answers", lambda: listens(port))
    phones.post_all(posts, kill_in_the_midst)
    assert killed.is_set(), log.read_text()
    assert KILL_AFTER <= len(phones.answered) < POSTS
    assert phones.answered <= noted(settings)
    with running(web, log=log, env=settings):
        wait_for("the web server answers again", lambda: listens(port))
        phones.post_all([(number, client_id) for number, client_id in posts if client_id in phones.cut_off])
    assert phones.answered == {client_id for _, client_id in posts}
    assert noted(settings) == phones.answered
    assert "the tables equal the log" in manage(settings, "audit")


def noted(settings: dict[str, str]) -> set[str]:
    """The senders' numbers of the notes in the log; each stands there once."""
    found = [str(UUID(str(sender))) for (sender,) in rows(settings["RIBBAND_DATABASE_URL"], NOTED)]
    assert len(found) == len(set(found))
    return set(found)
