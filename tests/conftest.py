"""Fixtures and helpers shared by all tests; see tests/fixtures/."""

import gc
import os

from hypothesis import settings

os.environ["DJANGO_ALLOW_ASYNC_UNSAFE"] = "true"  # the browser's own event loop runs in the tests' thread

pytest_plugins = [
    "tests.fixtures.programs",
    "tests.fixtures.buckets",
    "tests.fixtures.post_office",
    "tests.fixtures.servers",
    "tests.fixtures.browser",
    "tests.fixtures.demo",
    "tests.fixtures.texts",
]

settings.register_profile("untimed", deadline=None)  # how long an example takes says nothing about the program
settings.load_profile("untimed")


def pytest_collection_finish() -> None:
    """Leave what was loaded so far to the garbage collector's peace: it would be looked through all along the run."""
    gc.collect()
    gc.freeze()
