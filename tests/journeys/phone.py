"""What hands do with a phone at the bench, and what can be read off its queue."""

from collections.abc import Callable
from typing import Any

from playwright.sync_api import Error, FilePayload, Page, expect

from stages.models import Entry
from tests.fixtures.processes import wait_for
from tests.photo_files import a_file, a_picture

SAID_WITHOUT_NETWORK = ("ERR_", "htmx:sendError", "htmx:afterRequest", "htmx:timeout", "Failed to load resource")
QUEUE = """() => new Promise(resolve => {
    const opening = indexedDB.open('outbox', 1);
    opening.onupgradeneeded = () => opening.transaction.abort();  // nothing was ever kept, and making it is not ours
    opening.onerror = () => resolve([]);
    opening.onsuccess = () => {
        const asking = opening.result.transaction('acts').objectStore('acts').getAll();
        asking.onsuccess = () => resolve(asking.result.map(
            ({ id, who, tag, state, at, tries, files }) => ({ id, who, tag, state, at, tries, files: files.length })));
    };
})"""
HELD = """async () => (await Promise.all((await caches.keys()).filter(name => name === 'pages').map(async name =>
    (await (await caches.open(name)).keys()).map(key => new URL(key.url).pathname)))).flat()"""


def ask(page: Page, script: str) -> Any:
    """What a script finds; a page that is loaded anew meanwhile is asked again."""
    for _ in range(5):
        try:
            return page.evaluate(script)
        except Error as error:
            if "navigation" not in error.message:
                raise
            page.wait_for_load_state("load")
    return page.evaluate(script)


def queue(page: Page) -> list[dict[str, Any]]:
    """What waits on the phone, in order."""
    found: list[dict[str, Any]] = ask(page, QUEUE)
    return found


def held(page: Page) -> list[str]:
    """The pages that the phone holds."""
    found: list[str] = ask(page, HELD)
    return found


def wait_until(page: Page, what: str, happened: Callable[[], object]) -> None:
    """Wait while the page goes on."""

    def looked() -> object:
        page.wait_for_timeout(100)  # the page's own events come in meanwhile
        return happened()

    wait_for(what, looked, within_s=60)


def hold(page: Page, *paths: str) -> None:
    """Wait until the phone holds these pages."""
    wait_until(page, f"the phone holds {paths}", lambda: set(paths) <= set(held(page)))


def write_note(page: Page, text: str) -> None:
    """Write a note on the sheet that is open."""
    if not page.locator("#do-note-text").is_visible():
        page.locator("#fold-do-note > summary").tap()
    page.locator("#do-note-text").fill(text)
    page.locator("#do-note > button").tap()


def a_shot(name: str = "shot.jpg", side: int = 600) -> FilePayload:
    """A photo as the camera gives it."""
    return {"name": name, "mimeType": "image/jpeg", "buffer": a_file(image=a_picture(side, side))}


def says(page: Page, words: str) -> None:
    """The bar says so."""
    expect(page.locator("#outbox")).to_contain_text(words)


def emptied(page: Page) -> None:
    """Wait until nothing waits any more."""
    wait_until(page, "the queue is empty", lambda: settled(page))
    assert queue(page) == []


def settled(page: Page) -> bool:
    """Whether nothing waits; what was refused is still there."""
    return all(record["state"] != "waiting" for record in queue(page))


def recorded(tag: str) -> list[Entry]:
    """What a hull's log holds after its arrival."""
    return list(Entry.objects.filter(hull__tag=tag).exclude(kind="arrived").order_by("number"))
