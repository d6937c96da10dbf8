"""Places on a hull, as they are written at the bench: common practice, no published source."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from stages.engine.errors import EngineError
from stages.engine.places import Place, Side, read_places, write_places

READ = {
    "": [],
    "3 port": ["3 port"],
    "3-5 p": ["3 port", "4 port", "5 port"],
    "3 – 4 P, 7 s; 7 starboard\n12": ["3 port", "4 port", "7 starboard", "12"],
    "1, 200": ["1", "200"],
}


@pytest.mark.parametrize("text", READ)
def test_places_are_read_as_they_are_written(text: str) -> None:
    assert [write_places((place,)) for place in read_places(text)] == READ[text]


@pytest.mark.parametrize("text", ["bow", "3 left", "5-3 port", "0 port", "201", "3--4", "-3", "3.5"])
def test_what_is_no_place_is_refused(text: str) -> None:
    with pytest.raises(EngineError):
        read_places(text)


@given(st.lists(st.builds(Place, rib=st.integers(1, 200), side=st.sampled_from(Side)), unique=True, max_size=12))
def test_what_is_written_is_read_back(places: list[Place]) -> None:
    assert list(read_places(write_places(tuple(places)))) == places
