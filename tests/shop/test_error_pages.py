"""What people see when something is not there, not theirs, too old, or broken."""

import pytest
from django.conf import settings
from django.test import Client, RequestFactory
from django.views.defaults import server_error

from tests.factories import a_crew_member, a_shop

FLOOR = '<a class="button button--quiet" href="/">'


@pytest.mark.django_db
def test_an_address_that_is_none_says_so_in_the_shop_s_look(client: Client) -> None:
    response = client.get("/hulls-of-the-moon/")
    page = response.content.decode()
    assert response.status_code == 404
    assert "There is no page at this address." in page
    assert "ribband.css" in page
    assert '<nav class="nav"' not in page


@pytest.mark.django_db
def test_whoever_is_logged_in_keeps_the_ways_on(client: Client) -> None:
    client.force_login(a_crew_member())
    page = client.get("/hulls-of-the-moon/").content.decode()
    assert '<nav class="nav"' in page
    assert FLOOR in page


@pytest.mark.django_db
def test_an_address_that_was_typed_is_not_sent_back(client: Client) -> None:
    assert "alert(1)" not in client.get("/<script>alert(1)</script>/").content.decode()


@pytest.mark.django_db
def test_what_is_not_for_a_log_in_says_that_nothing_was_changed(client: Client) -> None:
    client.force_login(a_crew_member())
    response = client.get("/admin/", follow=True)
    assert response.status_code == 403
    assert "Your log-in may not do this. Nothing was changed." in response.content.decode()


@pytest.mark.django_db
def test_a_page_that_was_open_for_too_long_says_what_to_do() -> None:
    strict = Client(enforce_csrf_checks=True)
    strict.force_login(a_crew_member())
    response = strict.post("/me/log-out-others/")
    assert response.status_code == 403
    assert (
        "copy what you typed: it still stands there. Then load the page again, and send it once more"
        in response.content.decode()
    )


def test_what_is_broken_is_told_without_asking_the_database() -> None:
    response = server_error(RequestFactory().get("/"))  # a query would fail here: this test may open no database
    page = response.content.decode()
    assert response.status_code == 500
    assert "The shop’s program could not answer." in page
    assert FLOOR in page


@pytest.mark.django_db
@pytest.mark.parametrize(("over", "status"), [(0, 200), (1, 400)])
def test_more_in_an_address_than_is_read_is_answered_in_the_shop_s_look(client: Client, over: int, status: int) -> None:
    a_shop()
    fields = settings.DATA_UPLOAD_MAX_NUMBER_FIELDS + over
    response = client.get("/supplies/?" + "&".join(["a"] * fields))
    assert response.status_code == status
    if over:
        page = response.content.decode()
        assert "What was sent is too much at once or cannot be read. Nothing was changed" in page
        assert "ribband.css" in page
        assert FLOOR in page
