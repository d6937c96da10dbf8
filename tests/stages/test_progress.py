"""The page behind a boat owner's progress link: what it shows, what it keeps to itself, and whom it tells nothing."""

import re
from datetime import date, timedelta
from pathlib import Path

import pytest
from django.test import Client
from django.utils import timezone
from pytest_django import DjangoAssertNumQueries, Settings

from hulls.models import Hull
from stages.models import HullDates
from stages.queries.routes import engine_route
from stages.services import bench, notes
from stages.services.links import withdraw_link
from tests.answers import Answer
from tests.at_work import finish
from tests.factories import a_crew_member, a_hull, a_shop, hand, the_shop_owner
from tests.stages.at_work import a_hull_at, a_primed_hull
from tests.stages.behind_the_link import NEVER_MADE, a_photo, link_to, without_date

pytestmark = pytest.mark.django_db

OPENS_NOTHING = [NEVER_MADE, "x", "a" * 500, "%00", "%F0%9F%9B%B6", "..", "'%20OR%201=1--", "%3Cscript%3E"]


@pytest.fixture(autouse=True)
def shop(settings: Settings, tmp_path: Path) -> None:
    settings.MEDIA_ROOT = tmp_path
    a_shop()


# --- What it shows


def test_it_shows_the_boat_where_it_stands_and_what_comes_next(client: Client) -> None:
    hull = a_primed_hull(coat_at=timezone.now() - timedelta(hours=4), name="Swift", promised_on=date(2031, 6, 12))
    page = client.get(link_to(hull)).content.decode()
    shown = ["Swift", "4.90 m", "finishing station", "Promised for", "12 June 2031", "Enamel"]
    shown.append("The first coat of primer is drying.")
    assert [words for words in shown if words not in page] == []
    assert page.count('<svg class="hull"') == 1
    assert "coat 1 of 2 · drying" in page


def test_a_boat_without_a_name_goes_by_its_tag(client: Client) -> None:
    assert "<h1>Hull H-7</h1>" in client.get(link_to(a_hull("H-7"))).content.decode()


def test_a_boat_without_a_promised_day_gets_no_day_made_up(client: Client) -> None:
    page = client.get(link_to(a_hull(promised_on=None))).content.decode()
    assert "Promised" not in page


def test_a_promised_day_that_has_passed_says_so(client: Client) -> None:
    today = timezone.localdate()
    passed = "This day has passed"
    assert passed not in client.get(link_to(a_hull("H-1", promised_on=today))).content.decode()
    assert passed in client.get(link_to(a_hull("H-2", promised_on=today - timedelta(days=1)))).content.decode()


def test_it_says_when_the_boat_is_most_likely_ready_how_that_moved_and_why(client: Client) -> None:
    hull, now = a_hull(), timezone.now()
    day = date(2031, 6, 12)
    said = [{"text": "The canvas waited for dry weather.", "values": {}}]
    for ago, likely, why in ((8, day, []), (1, day + timedelta(days=2), said)):
        HullDates.objects.create(
            hull=hull,
            made_at=now - timedelta(days=ago),
            early_on=likely - timedelta(days=2),
            likely_on=likely,
            late_on=likely + timedelta(days=6),
            suggested_on=likely + timedelta(days=4),
            why=why,
        )
    page = " ".join(client.get(link_to(hull)).content.decode().split())
    assert "between 12 and 20 June 2031" in page
    assert "2 days later than last week: The canvas waited for dry weather." in page
    assert "Promised for 1 January 2030" in page


def test_where_no_day_can_be_named_it_says_so_in_plain_words_and_the_old_days_are_gone(client: Client) -> None:
    hull, now = a_hull(), timezone.now()
    day = date(2031, 6, 12)
    dates = dict.fromkeys(("early_on", "likely_on", "late_on", "suggested_on"), day)
    HullDates.objects.create(hull=hull, made_at=now - timedelta(days=1), **dates)
    why = [{"text": "Nobody here can do “%(skill)s”.", "values": {"skill": "canvas"}}]
    HullDates.objects.create(hull=hull, made_at=now, no_date=why)
    link = link_to(hull)
    page = " ".join(client.get(link).content.decode().split())
    assert "We cannot name a day at the moment; the shop is looking into it." in page
    assert "Promised for 1 January 2030" in page
    assert "12 June" not in page
    assert "Nobody here can do" not in page
    french = " ".join(client.get(link, headers={"Accept-Language": "fr"}).content.decode().split())
    assert "Nous ne pouvons pas donner de date pour le moment ; l’atelier s’en occupe." in french


def test_what_happened_is_told_by_day_and_what_was_struck_is_not(client: Client) -> None:
    hull = a_hull_at("rack")
    bench.start_stage(hull_id=hull.pk, stage="survey", hand=hand())
    done = bench.finish_stage(hull_id=hull.pk, stage="survey", hand=hand())
    assert "Finished: Survey and photos" in client.get(link_to(hull)).content.decode()
    assert done.entry is not None
    notes.strike_entry(hull_id=hull.pk, number=done.entry.number, reason="too early", hand=hand())
    page = client.get(link_to(hull)).content.decode()
    assert "Finished: Survey and photos" not in page
    assert "Your boat came in" in page


def test_text_that_somebody_typed_is_shown_as_text(client: Client) -> None:
    hull = a_hull(name="<b>Swift</b> & Sons")
    page = client.get(link_to(hull)).content.decode()
    assert "&lt;b&gt;Swift&lt;/b&gt; &amp; Sons" in page
    assert "<b>" not in page


def test_a_boat_that_went_home_still_has_its_page(client: Client) -> None:
    hull = a_hull_at("rack")
    for key in engine_route(hull.work.route).before["hand_over"]:
        bench.leave_out(hull_id=hull.pk, stage=key, reason="done elsewhere", hand=hand())
    assert finish(hull_id=hull.pk, stage="hand_over", hand=hand()).done
    page = client.get(link_to(hull)).content.decode()
    assert "Your boat was handed over on" in page
    assert "Promised for" not in page
    assert "What comes next" not in page


# --- What it keeps to itself


def test_it_shows_nothing_of_the_crew_of_other_boats_and_of_the_shop_s_own_notes(client: Client) -> None:
    a_hull("H-OTHER", name="Otherboat", owner="Other Owner")
    a_photo(Hull.objects.get(tag="H-OTHER"), "other photo")
    who = a_crew_member("handyman")
    hull = a_primed_hull("H-1", coat_at=timezone.now() - timedelta(hours=4), owner="Ada Reed", notes="inner note")
    by = hand(by=who)
    notes.write_note(hull_id=hull.pk, text="pays late", hand=by)
    notes.record_moisture(hull_id=hull.pk, moisture_pct=17.5, spot="bow plank", hand=hand(by=who))
    notes.add_find(hull_id=hull.pk, damage="ribs", count=2, note="hidden rot", hand=hand(by=who))
    bench.leave_out(hull_id=hull.pk, stage="seats", reason="owner never paid", hand=hand(by=who))
    a_photo(hull, "kept inside", shared=False)
    a_photo(hull, "for the owner")
    page = client.get(link_to(hull)).content.decode()
    assert "for the owner" in page
    secrets = ["H-OTHER", "Otherboat", "Other Owner", "other photo", "handyman", "boss", "hand<", "Ada Reed"]
    secrets += ["owner@example.org", "inner note", "pays late", "17.5", "bow plank", "hidden rot", "never paid"]
    secrets += ["kept inside", "only this step is looked at", "Indoors", "csrf", "/hulls/"]
    assert [secret for secret in secrets if secret in page] == []


def test_it_says_nothing_of_who_stands_in_the_way(client: Client) -> None:
    for number in (1, 2):  # both places of the strip bench
        a_hull_at("strip", f"H-STRIP{number}", name=f"Blocker{number}")
    hull = a_hull_at("rack", "H-1")
    for key in ("survey", "estimate"):
        bench.leave_out(hull_id=hull.pk, stage=key, reason="known", hand=hand())
    page = client.get(link_to(hull)).content.decode()
    assert "It waits for a free bench." in page
    assert "Blocker" not in page
    assert "H-STRIP" not in page
    assert "strip station" not in page


def test_whoever_is_logged_in_sees_what_the_owner_sees(client: Client) -> None:
    link = link_to(a_hull())
    stranger = client.get(link)
    client.force_login(the_shop_owner())
    assert same(client.get(link)) == same(stranger)


def same(response: Answer) -> tuple[int, bytes, dict[str, str]]:
    """An answer without its date, and without the numbers by which forms are sent once, which are made anew."""
    status, content, headers = without_date(response)
    return status, re.sub(rb'name="client_id" value="[^"]+"', b"", content), {**headers, "Content-Length": ""}


# --- Headers and cookies


@pytest.mark.parametrize("known", [True, False])
def test_no_robot_keeps_it_no_referrer_tells_it_and_no_cookie_is_set(client: Client, known: bool) -> None:
    response = client.get(link_to(a_hull()) if known else f"/p/{NEVER_MADE}/")
    assert response["X-Robots-Tag"] == "noindex, nofollow, noarchive"
    assert response["Referrer-Policy"] == "no-referrer"
    assert response["Cache-Control"] == "private, no-store"
    assert response["X-Frame-Options"] == "DENY"
    assert "script-src 'self'" in response["Content-Security-Policy"]
    assert not response.cookies
    assert "Cookie" not in response.get("Vary", "")


def test_it_loads_no_script(client: Client) -> None:
    assert "<script" not in client.get(link_to(a_hull())).content.decode()


# --- Whom it tells nothing


@pytest.mark.parametrize("token", OPENS_NOTHING)
def test_a_wrong_token_gets_the_same_answer_as_a_withdrawn_one(client: Client, token: str) -> None:
    hull = a_hull()
    link = link_to(hull)
    assert client.get(link).status_code == 200
    withdraw_link(hull_id=hull.pk, hand=hand())
    withdrawn = client.get(link)
    assert withdrawn.status_code == 404
    assert without_date(client.get(f"/p/{token}/")) == without_date(withdrawn)


@pytest.mark.parametrize("path", ["/p", "/p/", "/p//", "/p/a/b/", "/p/a/photo/x/", "/p/a/photo/1/huge/", "/p/a/photo/"])
def test_every_other_address_below_gets_it_too(client: Client, path: str) -> None:
    assert without_date(client.get(path)) == without_date(client.get(f"/p/{NEVER_MADE}/"))


def test_a_renewed_link_closes_the_old_one(client: Client) -> None:
    hull = a_hull()
    old, new = link_to(hull), link_to(hull)
    assert (client.get(old).status_code, client.get(new).status_code) == (404, 200)


def test_a_wrong_and_a_withdrawn_token_cost_the_same_look_up(
    client: Client, django_assert_num_queries: DjangoAssertNumQueries
) -> None:
    hull = a_hull()
    link = link_to(hull)
    withdraw_link(hull_id=hull.pk, hand=hand())
    client.get(link)
    for path in (link, f"/p/{NEVER_MADE}/"):
        with django_assert_num_queries(2):  # the pulse, and the hash by its unique index
            client.get(path)


def test_a_lost_last_stroke_still_opens_it(client: Client) -> None:
    assert client.get(link_to(a_hull()).rstrip("/")).status_code == 200


# --- It only reads


@pytest.mark.parametrize("method", ["post", "put", "patch", "delete"])
@pytest.mark.parametrize("known", [True, False])
def test_it_only_reads(method: str, known: bool) -> None:
    strict = Client(enforce_csrf_checks=True)
    response = getattr(strict, method)(link_to(a_hull()) if known else f"/p/{NEVER_MADE}/")
    assert response.status_code == 405
    assert response["X-Robots-Tag"] == "noindex, nofollow, noarchive"
    assert not response.cookies


def test_it_answers_a_head(client: Client) -> None:
    response = client.head(link_to(a_hull()))
    assert (response.status_code, response.content) == (200, b"")


# --- What it costs


def test_it_costs_the_same_queries_for_a_long_story_as_for_a_short_one(
    client: Client, django_assert_num_queries: DjangoAssertNumQueries
) -> None:
    short, long = a_hull("H-1"), a_primed_hull("H-2", coat_at=timezone.now() - timedelta(hours=30))
    for n in range(12):
        notes.write_note(hull_id=long.pk, text=f"note {n}", hand=hand())
        a_photo(long, f"photo {n}")
        a_hull(f"H-1{n}")
    for link in (link_to(short), link_to(long)):
        client.get(link)
        # pulse, link, states, coats, photos, log, estimates, two of money, thread, colour, dates, plan, letters
        with django_assert_num_queries(14):
            client.get(link)
