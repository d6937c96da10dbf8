"""The process apart: bounds itself, then works the files of one folder. Run by `hulls.photos.apart` alone."""

import json
import resource
import sys
from pathlib import Path

MEMORY_BYTES = 400 * 1024 * 1024  # with the worker's own 100 MB, half a gigabyte
CPU_S = 20
FILE_BYTES = 64 * 1024 * 1024


def main(task: str, folder: Path) -> None:
    """Do one task on the files in a folder; leave the results and `said.json` there."""
    for bound, value in (
        (resource.RLIMIT_AS, MEMORY_BYTES),
        (resource.RLIMIT_CPU, CPU_S),
        (resource.RLIMIT_FSIZE, FILE_BYTES),
        (resource.RLIMIT_CORE, 0),
    ):
        resource.setrlimit(bound, (value, value))
    from hulls.photos.errors import PhotoError  # after the bounds: what is loaded counts too

    try:
        said = {"copies": _copies, "lapse": _lapse}[task](folder)
    except PhotoError as error:
        said = {"refused": error.message}
    (folder / "said.json").write_text(json.dumps(said))


def _copies(folder: Path) -> dict[str, object]:
    from hulls.photos.copies import make_copies

    with (folder / "photo").open("rb") as file:
        copies = make_copies(file)
    for size, content in copies.by_size.items():
        (folder / size).write_bytes(content)
    (folder / "tiny").write_bytes(copies.tiny)
    return {"width": copies.width, "height": copies.height}


def _lapse(folder: Path) -> dict[str, object]:
    from hulls.photos.lapse import make_lapse

    frames = sorted(folder.glob("frame-*"))
    (folder / "lapse").write_bytes(make_lapse(path.open("rb") for path in frames))
    return {"frames": len(frames)}


if __name__ == "__main__":
    main(sys.argv[1], Path(sys.argv[2]))
