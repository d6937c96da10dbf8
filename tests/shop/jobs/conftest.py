"""Jobs whose work is a line in a list."""

import pytest

from shop.jobs import registry
from shop.jobs.registry import Effect, Payload


class Work:
    """What the handler `test.work` did, and how it is to go."""

    def __init__(self) -> None:
        self.begun: list[Payload] = []
        self.counted: list[Payload] = []
        self.fails_with: Exception | None = None

    def handler(self, payload: Payload) -> Effect:
        """Do the slow part, or fail as told."""
        self.begun.append(payload)
        if self.fails_with:
            raise self.fails_with
        return lambda: self.counted.append(payload)


@pytest.fixture
def work(monkeypatch: pytest.MonkeyPatch) -> Work:
    """A registered handler called `test.work`, for this test alone."""
    work = Work()
    monkeypatch.setattr(registry, "_handlers", {})
    registry.job("test.work")(work.handler)
    return work
