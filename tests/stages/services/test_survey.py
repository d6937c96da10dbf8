"""The survey with places and photos; counts alone stay as they were."""

import io
from typing import Any

import pytest
from django.test import Client
from PIL import Image

from hulls.models import Hull, Photo
from stages.engine.errors import EngineError
from stages.engine.places import Place, Side, read_places
from stages.models import Entry, HullWork
from stages.services.survey import write_survey
from tests.factories import a_crew_member, a_hull, a_shop, hand

pytestmark = pytest.mark.django_db


@pytest.fixture
def hull() -> Hull:
    a_shop()
    return a_hull()


def a_photo_file(colour: str = "#c08a55") -> io.BytesIO:
    file = io.BytesIO()
    Image.new("RGB", (40, 30), colour).save(file, "JPEG")
    file.seek(0)
    file.name = "rib.jpg"
    return file


def survey(hull: Hull, **told: Any) -> Any:
    return write_survey(hull_id=hull.pk, **{"counts": {}, "conditions": {}, "hand": hand(), **told})


def test_counts_alone_are_recorded_as_ever(hull: Hull) -> None:
    assert survey(hull, counts={"ribs": 3}).entry.details == {"counts": {"ribs": 3}, "conditions": {}}


def test_places_count_where_no_count_is_given(hull: Hull) -> None:
    survey(hull, places={"ribs": read_places("3-5 port")})
    assert HullWork.objects.get(hull=hull).facts["counts"] == {"ribs": 3}
    assert Entry.objects.latest("number").details["places"] == {"ribs": [[3, "port"], [4, "port"], [5, "port"]]}


@pytest.mark.parametrize(("count", "fits"), [(1, False), (2, True), (3, True)])
def test_there_are_no_more_places_than_were_counted(hull: Hull, count: int, fits: bool) -> None:
    places = {"ribs": (Place(rib=3, side=Side.PORT), Place(rib=4))}
    if fits:
        assert survey(hull, counts={"ribs": count}, places=places).done
        return
    with pytest.raises(EngineError) as refused:
        survey(hull, counts={"ribs": count}, places=places)
    assert refused.value.field == "ribs_at"


def test_photos_stand_at_the_step_that_mends_what_they_show_and_are_kept_once(hull: Hull) -> None:
    who = hand()
    for _ in range(2):
        photos = {"ribs": [a_photo_file(), a_photo_file("#335533")]}
        survey(hull, counts={"ribs": 1}, places={"ribs": read_places("7 s")}, photos=photos, hand=who)
    kept = Photo.objects.filter(hull=hull)
    assert [(photo.stage, photo.caption) for photo in kept] == [("ribs", "ribs: 7 starboard")] * 2
    line = Entry.objects.get(hull=hull, kind="survey")
    assert sorted(line.details["photos"]["ribs"]) == sorted(photo.pk for photo in kept)


def test_a_file_that_is_no_photo_is_named_by_its_field_and_nothing_is_kept(hull: Hull) -> None:
    bad = io.BytesIO(b"no photo at all")
    with pytest.raises(EngineError) as refused:
        survey(hull, counts={"ribs": 1}, photos={"planks": [bad], "ribs": [a_photo_file()]})
    assert refused.value.field == "planks_photos"
    assert not Photo.objects.exists()
    assert not Entry.objects.filter(kind="survey").exists()


def test_the_sheet_takes_places_and_photos_on_a_phone_without_script(client: Client, hull: Hull) -> None:
    client.force_login(a_crew_member())
    sent = {"client_id": hand().client_id, "ribs": "2", "ribs_at": "3-4 p", "ribs_photos": a_photo_file()}
    assert client.post("/hulls/H-1/do/survey/", sent).status_code == 303
    assert "Survey: 2 ribs (3 port, 4 port)" in client.get("/hulls/H-1/").content.decode()
    assert Photo.objects.get().caption == "ribs: 3 port, 4 port"


def test_places_that_cannot_be_read_are_told_beside_their_field(client: Client, hull: Hull) -> None:
    client.force_login(a_crew_member())
    sent = {"client_id": hand().client_id, "ribs": "2", "ribs_at": "by the seat"}
    answer = client.post("/hulls/H-1/do/survey/", sent)
    assert answer.status_code == 422
    page = answer.content.decode()
    assert 'value="by the seat"' in page
    assert "Write places like" in page
