"""The pages as an app: manifest, worker, and who is there to send what waits."""

import json
import re
from pathlib import Path

import pytest
from django.test import Client
from PIL import Image

from shop.launch.environment import ROOT
from shop.models import Role, Shop
from tests.factories import a_crew_member, a_shop

pytestmark = pytest.mark.django_db

LOADS = r'((im|ex)port (\{ [\w, ]+ \}|\* as \w+) from|import) "\./\w+\.js";'


def test_the_manifest_is_one_of_its_kind_and_its_icons_have_their_sizes(client: Client) -> None:
    a_shop()
    response = client.get("/app.webmanifest")
    assert response["Content-Type"] == "application/manifest+json"
    app = response.json()
    assert (app["name"], app["start_url"], app["scope"], app["display"]) == ("The test shop", "/", "/", "standalone")
    for icon in app["icons"]:
        with Image.open(ROOT / icon["src"].removeprefix("/")) as image:
            assert "{}x{}".format(*image.size) == icon["sizes"]


def test_the_worker_is_served_at_the_root_and_never_from_a_cache_unasked(client: Client) -> None:
    a_shop()
    response = client.get("/worker.js")
    assert response["Content-Type"].startswith("text/javascript")
    assert response["Cache-Control"] == "no-cache"
    assert (ROOT / "static/js/worker.js").read_text() in response.content.decode()


def test_another_time_zone_makes_it_another_worker(client: Client) -> None:
    a_shop()
    before = client.get("/worker.js").content
    shop = Shop.objects.get()
    shop.time_zone = "America/Toronto"
    shop.save()
    assert client.get("/worker.js").content != before


def test_pages_may_start_a_worker_and_name_a_manifest_of_their_own_site_alone(client: Client) -> None:
    a_shop()
    policy = client.get("/login/")["Content-Security-Policy"]
    assert "worker-src 'self'" in policy
    assert "manifest-src 'self'" in policy
    assert "'unsafe" not in policy


@pytest.mark.parametrize(("role", "named"), [(Role.CREW, True), (Role.OWNER, True), (Role.LOOK, False)])
def test_only_those_who_may_record_are_there_to_send(client: Client, role: Role, named: bool) -> None:
    a_shop()
    person = a_crew_member(role=role)
    client.force_login(person)
    answer = client.get("/waiting/who/")
    assert answer.json()["who"] == (str(person.pk) if named else "")
    assert "no-store" in answer["Cache-Control"]


def test_the_token_that_it_gives_is_taken(client: Client) -> None:
    a_shop()
    strict = Client(enforce_csrf_checks=True)
    strict.force_login(a_crew_member())
    token = strict.get("/waiting/who/").json()["token"]
    answer = strict.post("/me/log-out-others/", headers={"X-CSRFToken": token})
    assert answer.status_code == 302


def test_nobody_is_there_without_a_log_in(client: Client) -> None:
    a_shop()
    assert client.get("/waiting/who/").json()["who"] == ""


def test_the_pages_that_phones_hold_for_anybody_show_nothing_of_the_shop(client: Client) -> None:
    a_shop()
    for address in ("/offline/", "/waiting/"):
        html = client.get(address).content.decode()
        assert "data-who" not in html
        assert "The test shop" not in html


def test_a_page_names_whoever_may_record_and_nobody_else() -> None:
    a_shop()
    for role, named in ((Role.CREW, True), (Role.LOOK, False)):
        client, person = Client(), a_crew_member(str(role), role)
        client.force_login(person)
        assert (f'data-who="{person.pk}"' in client.get("/").content.decode()) is named


def test_every_module_writes_what_it_loads_as_the_storage_and_the_worker_read_it() -> None:
    for path in sorted(Path(ROOT / "static/js").glob("*.js")):
        for line in path.read_text().splitlines():
            if re.match(r"(import|export)\b.*\./", line):
                assert re.fullmatch(LOADS, line), (path.name, line)


def test_the_list_of_pages_is_json_with_stamps(client: Client) -> None:
    a_shop()
    client.force_login(a_crew_member())
    pages = json.loads(client.get("/waiting/pages/").content)["pages"]
    assert [page["path"] for page in pages] == ["/", "/next/", "/waiting/"]
    assert all(page["stamp"] for page in pages)
