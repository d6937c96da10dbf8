"""Image work in a process apart: what comes back, and what a bad file does not do to the worker."""

import gzip
import io
import json
import subprocess
import sys
import tempfile
from pathlib import Path
from typing import Any

import pytest
from PIL import Image

from hulls.photos import apart
from hulls.photos.apart import ROOT, copies_apart, lapse_apart
from hulls.photos.copies import SIDES
from hulls.photos.errors import BROKEN, CUT_OFF, TOO_HEAVY, TOO_MANY_PIXELS, TOO_SLOW, PhotoError
from tests.photo_files import a_file, a_png_bomb

DATA = Path(__file__).parent / "data"
WORKER_MB = 500  # what a worker may need at most, its own hundred included
MEASURE = """
import json, resource, sys
from pathlib import Path
from hulls.photos.apart import copies_apart
from hulls.photos.errors import PhotoError
said = []
for path in sys.argv[1:]:
    try:
        said.append(copies_apart(Path(path).read_bytes()).width)
    except PhotoError as error:
        said.append(error.message)
peak_mb = resource.getrusage(resource.RUSAGE_CHILDREN).ru_maxrss / 1024
status = dict(line.split(":", 1) for line in Path("/proc/self/status").read_text().splitlines())
own_mb = int(status["VmHWM"].split()[0]) / 1024
print(json.dumps({"said": said, "peak_mb": peak_mb, "own_mb": own_mb}))
"""


def measured(files: dict[str, bytes], folder: Path) -> dict[str, Any]:
    """What becomes of files in a process that works them in a process apart, and the memory of both."""
    paths = [folder / name for name in files]
    for path in paths:
        path.write_bytes(files[path.name])
    command = [sys.executable, "-c", MEASURE, *map(str, paths)]
    done = subprocess.run(command, cwd=ROOT, capture_output=True, text=True, check=True)
    return dict(json.loads(done.stdout))


def refusal_of(content: bytes) -> str:
    with pytest.raises(PhotoError) as refused:
        copies_apart(content)
    return refused.value.message


def test_the_copies_come_back() -> None:
    copies = copies_apart(a_file("HEIF"))
    assert (copies.width, copies.height) == (400, 300)
    assert {Image.open(io.BytesIO(copies.by_size[size])).format for size in SIDES} == {"WEBP"}


def test_a_time_lapse_comes_back() -> None:
    made = Image.open(io.BytesIO(lapse_apart([a_file(), a_file("WEBP", Image.new("RGB", (40, 30), "red"))])))
    assert getattr(made, "n_frames", 1) == 2


def test_a_refusal_comes_back_in_its_own_words() -> None:
    assert refusal_of(a_file()[:-200]) == CUT_OFF


def test_a_decoder_that_crashes_takes_nothing_down_with_it(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(apart, "_command", lambda task, folder: [sys.executable, "-c", "import os; os.abort()"])
    assert refusal_of(a_file()) == BROKEN


def test_a_decoder_that_never_ends_is_ended(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(apart, "_command", lambda task, folder: [sys.executable, "-c", "while True: pass"])
    monkeypatch.setattr(apart, "WITHIN_S", 0.5)
    assert refusal_of(a_file()) == TOO_SLOW


def test_bad_files_and_large_ones_stay_within_the_memory_of_a_worker(tmp_path: Path) -> None:
    large = Image.linear_gradient("L").resize((7000, 7000)).convert("RGB")
    files = {
        "bomb.png": a_png_bomb(),
        "large.jpg": a_file("JPEG", large, progressive=True, subsampling=0, quality=60),
        "large.webp": a_file("WEBP", large, quality=10, method=0),
        "after.jpg": a_file(),
    }
    told = measured(files, tmp_path)
    assert told["said"] == [TOO_MANY_PIXELS, 1920, BROKEN, 400]
    assert told["own_mb"] + told["peak_mb"] < WORKER_MB


@pytest.fixture(scope="module")
def large_heic() -> bytes:
    """8064 x 6048 pixels in tiles of 512, turned by a box, as phones write them (ISO/IEC 23008-12, 6.6.2.3 and 6.5.10).

    Made once, since that takes 20 s, by
    ``a_file("HEIF", a_picture(8064, 6048), quality=10, tile_size=512, exif=exif(turned=6).tobytes())``.
    """
    return gzip.decompress((DATA / "48_million_pixels.heic.gz").read_bytes())


def test_a_heic_of_48_million_pixels_is_kept_within_the_memory_of_a_worker(large_heic: bytes, tmp_path: Path) -> None:
    told = measured({"phone.heic": large_heic}, tmp_path)
    assert told["said"] == [1440]
    assert told["own_mb"] + told["peak_mb"] < WORKER_MB


def test_a_heic_that_takes_more_memory_than_there_is_is_said_to(large_heic: bytes, tmp_path: Path) -> None:
    (tmp_path / "photo").write_bytes(large_heic)
    tight = "import hulls.photos.__main__ as m, sys, pathlib; m.MEMORY_BYTES = 280 << 20; "
    command = [sys.executable, "-c", tight + "m.main('copies', pathlib.Path(sys.argv[1]))", str(tmp_path)]
    subprocess.run(command, cwd=ROOT, check=True, env=apart.ENV)
    assert json.loads((tmp_path / "said.json").read_text()) == {"refused": TOO_HEAVY}


def test_no_file_is_left_behind(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    monkeypatch.setattr(tempfile, "tempdir", str(tmp_path))
    copies_apart(a_file())
    refusal_of(b"\xff\xd8\xff rubbish")
    assert list(tmp_path.iterdir()) == []


def test_the_process_is_given_no_secret(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("RIBBAND_SECRET_KEY", "a secret")
    heavy_if_told = "import os, sys; sys.exit('MemoryError' if 'RIBBAND_SECRET_KEY' in os.environ else 'none')"
    monkeypatch.setattr(apart, "_command", lambda task, folder: [sys.executable, "-c", heavy_if_told])
    assert refusal_of(a_file()) == BROKEN
