"""Fixtures shared by all tests."""

import os

os.environ["DJANGO_ALLOW_ASYNC_UNSAFE"] = "true"  # playwright's own loop runs in the test's thread
