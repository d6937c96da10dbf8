"""A file that is too large reaches neither memory nor disk; what else the form sent arrives."""

from pathlib import Path
from typing import Any

import pytest
from django.contrib.auth.models import AnonymousUser
from django.core.files.uploadedfile import SimpleUploadedFile
from django.test import RequestFactory
from pytest_django import Settings

from shop.models import CrewMember

BOUND = 100_000


def test_a_file_of_a_stranger_s_reaches_no_disk_and_what_they_typed_arrives(settings: Settings, tmp_path: Path) -> None:
    settings.FILE_UPLOAD_TEMP_DIR = str(tmp_path)
    for user in (None, AnonymousUser()):
        request = RequestFactory().post("/", {"note": "typed", "one": SimpleUploadedFile("one.jpg", b"x" * BOUND)})
        if user is not None:
            request.user = user
        assert request.POST["note"] == "typed"
        assert not request.FILES
        assert list(tmp_path.iterdir()) == []


@pytest.mark.parametrize(("size", "kept"), [(BOUND - 1, BOUND - 1), (BOUND, BOUND), (BOUND + 1, 0), (900_000, 0)])
def test_a_file_is_kept_up_to_the_bound_and_says_its_true_size(
    settings: Settings, tmp_path: Path, size: int, kept: int
) -> None:
    settings.LARGEST_UPLOAD = BOUND
    settings.FILE_UPLOAD_TEMP_DIR = str(tmp_path)
    one, two = SimpleUploadedFile("one.jpg", b"x" * size), SimpleUploadedFile("two.jpg", b"y")
    request = RequestFactory().post("/", {"note": "typed", "one": one, "two": two})
    request.user = CrewMember(username="ada")
    files: dict[str, Any] = request.FILES.dict()
    assert request.POST["note"] == "typed"
    assert (files["one"].size, len(files["one"].read())) == (size, kept)
    assert files["two"].read() == b"y"
    assert sum(path.stat().st_size for path in tmp_path.iterdir()) == kept + 1
