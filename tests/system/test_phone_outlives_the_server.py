"""The server stops and the phone is switched off and on: with the real server's hashed files, all lands once."""

from pathlib import Path
from uuid import UUID

import pytest
from playwright.sync_api import Browser, BrowserContext, Page, expect

from shop.launch.start import commands
from tests.fixtures.processes import free_port, listens, running, wait_for
from tests.fixtures.programs import program
from tests.journeys.phone import a_shot, hold, queue, says, settled, wait_until, write_note
from tests.system.at_once import manage
from tests.system.database import rows

PREPARE = """
from datetime import timedelta
from django.utils import timezone
from tests.factories import a_crew_member, a_hull, a_shop
a_shop()
a_hull("H-1", arrived=timezone.now() - timedelta(days=3))
a_crew_member("ada")
"""
READ = """
SELECT kind, client_id, at < recorded_at FROM stages_entry JOIN hulls_hull ON hulls_hull.id = stages_entry.hull_id
WHERE tag = 'H-1' AND kind <> 'arrived' ORDER BY number
"""
HASHED = """async () => (await (await caches.open('assets')).keys())
    .map(key => new URL(key.url).pathname).filter(path => /\\.(js|css)$/.test(path))"""


@pytest.mark.usefixtures("with_static_files")
def test_a_phone_outlives_the_server_and_its_own_restart(
    chromium: Browser, on_sqlite: dict[str, str], tmp_path: Path
) -> None:
    manage(on_sqlite, "shell", "-v0", "-c", PREPARE)
    port = free_port()
    web, log = commands(port)["web server"], tmp_path / "log"
    with running(web, log=log, env=on_sqlite):
        wait_for("the web server answers", lambda: listens(port))
        phone, page = switched_on(chromium, tmp_path / "phone", port)
        log_in(page)
        page.goto("/hulls/H-1/")
        hold(page, "/", "/next/", "/waiting/", "/hulls/H-1/")
        assert all(path.count(".") >= 2 for path in page.evaluate(HASHED)), page.evaluate(HASHED)
    page.goto("/hulls/H-1/")
    expect(page.locator("#as-of")).to_be_visible()
    write_note(page, "The bow is soft.")
    says(page, "1 thing waits")
    page.locator("#do-photo-survey [type=file]").set_input_files(a_shot())
    says(page, "2 things wait")
    kept = [record["id"] for record in queue(page)]
    phone.close()

    phone, page = switched_on(chromium, tmp_path / "phone", port)
    page.goto("/waiting/")
    expect(page.locator("#waits > li")).to_have_count(2)
    with running(web, log=log, env=on_sqlite):
        wait_for("the web server answers again", lambda: listens(port))
        page.goto("/")
        wait_until(page, "all was sent", lambda: settled(page))
        assert queue(page) == []
    phone.close()
    assert [
        (kind, str(UUID(sender)), bool(earlier))
        for kind, sender, earlier in rows(on_sqlite["RIBBAND_DATABASE_URL"], READ)
    ] == [("note", kept[0], True), ("photo", kept[1], True)]
    assert "the tables equal the log" in manage(on_sqlite, "audit")


def switched_on(chromium: Browser, folder: Path, port: int) -> tuple[BrowserContext, Page]:
    """A browser that keeps what it holds in a folder, as a phone does."""
    context = chromium.browser_type.launch_persistent_context(
        folder,
        executable_path=program("chromium"),
        base_url=f"http://127.0.0.1:{port}",
        viewport={"width": 390, "height": 844},
        is_mobile=True,
        has_touch=True,
    )
    return context, context.pages[0]


def log_in(page: Page) -> None:
    """Log in as Ada does."""
    page.goto("/login/")
    page.locator("#id_username").fill("ada")
    page.locator("#id_password").fill("cedar and brass")
    page.locator("main button").click()
    expect(page.locator("#floor")).to_be_visible()
