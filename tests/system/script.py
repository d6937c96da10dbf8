"""What the scripts share that act beside somebody else: they make things ready, or act on them at given moments."""

import json
import sys
import time
from collections.abc import Callable, Iterable, Iterator
from typing import TypeVar

import django

T = TypeVar("T")


def in_turn(things: Iterable[T], at: float, apart_s: float = 0.15) -> Iterator[T]:
    """Things, each at its moment: the first at ``at``, seconds since 1970."""
    for number, thing in enumerate(things):
        time.sleep(max(0.0, at + apart_s * number - time.time()))
        yield thing


def obey(prepare: Callable[[int], None], **acts: Callable[[str, float, int], object]) -> None:
    """Do what the command line asks: ``prepare COUNT``, or ``ACT WHO AT COUNT``, whose result is printed as JSON."""
    django.setup()
    match sys.argv[1:]:
        case ["prepare", count]:
            prepare(int(count))
        case [act, who, at, count]:
            print(json.dumps(acts[act](who, float(at), int(count))))
