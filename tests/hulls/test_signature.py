"""A signature is numbers: read strictly, kept as they were, and drawn by us."""

import pytest
from hypothesis import given
from hypothesis import strategies as st
from svgelements import Path

from hulls.signature import HEIGHT, LEAST_INK, LONGEST_TEXT, WIDTH, Signature, SignatureError, read_signature

LINE = "100,100 300,100;320,90 420,200"

Strokes = tuple[tuple[tuple[int, int], ...], ...]
points = st.tuples(st.integers(0, WIDTH), st.integers(0, HEIGHT))
strokes = st.lists(st.lists(points, min_size=1, max_size=30).map(tuple), min_size=1, max_size=6).map(tuple)


@given(strokes)
def test_what_is_kept_reads_as_what_was_drawn(drawn: Strokes) -> None:
    try:
        signature = Signature(strokes=drawn)
    except SignatureError:
        return  # less ink than a name takes
    assert read_signature(signature.text) == signature


@given(strokes)
def test_another_reader_of_svg_finds_every_point_of_every_stroke(
    drawn: Strokes,
) -> None:
    """Path data of SVG 2, 9.3, read by svgelements."""
    try:
        path = Path(Signature(strokes=drawn).path)
    except SignatureError:
        return
    found = [[(round(s.end.x), round(s.end.y)) for s in sub] for sub in path.as_subpaths()]
    assert found == [list(stroke) if len(stroke) > 1 else [stroke[0], stroke[0]] for stroke in drawn]


@pytest.mark.parametrize(
    "text",
    [
        "<svg onload=alert(1)>",
        '100,100 300,100"/><script>',
        "100,100 300,100;",
        ";100,100 300,100",
        "100,100  300,100",
        "100,100 -300,100",
        "100,100 1e3,100",
        "100,100 1001,100",
        "100,100 300,361",
        "१००,१०० ३००,१००",
        "100,100 300,100\n",
        "100,100 99999,1",
        "100",
    ],
)
def test_anything_but_strokes_in_the_box_is_refused(text: str) -> None:
    with pytest.raises(SignatureError, match="did not arrive whole"):
        read_signature(text)


@pytest.mark.parametrize("text", ["100,100", f"100,100 {100 + LEAST_INK - 1},100", "5,5;6,6;7,7"])
def test_a_dot_or_a_slip_is_no_signature(text: str) -> None:
    with pytest.raises(SignatureError, match="Sign once more"):
        read_signature(text)


def test_the_least_ink_is_enough() -> None:
    assert read_signature(f"100,100 {100 + LEAST_INK},100").ink == LEAST_INK


def test_it_is_bounded_before_it_is_read() -> None:
    long = " ".join(["100,100", "300,100"] * (LONGEST_TEXT // 16))
    assert read_signature(long)
    with pytest.raises(SignatureError, match="too many strokes"):
        read_signature(long + " 100,100 300,100" * 2)


def test_the_path_is_digits_and_two_letters_alone() -> None:
    assert set(read_signature(LINE).path) <= set("ML 0123456789")
