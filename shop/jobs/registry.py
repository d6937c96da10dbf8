"""Which function does which job.

An app names its handlers in its own `jobs.py`, which is loaded when Django starts:

    @job("photo.thumbnails")
    def thumbnails(payload: Payload) -> Effect:
        images = scale(payload["photo"])            # slow work: outside any transaction, may run twice

        def effect() -> None:
            Photo.objects.filter(...).update(...)   # quick: inside the transaction that ends the job, counts once

        return effect
"""

from collections.abc import Callable
from typing import Any

Payload = dict[str, Any]
Effect = Callable[[], None]
Handler = Callable[[Payload], Effect]

_handlers: dict[str, Handler] = {}


class UnknownJobError(LookupError):
    """No handler has this name."""


def job(name: str) -> Callable[[Handler], Handler]:
    """Register a function as the handler of the jobs called `name`.

    The handler does the slow part and returns the effect; a second handler of the same name is a mistake.
    """

    def register(handler: Handler) -> Handler:
        if name in _handlers:
            raise ValueError(f"Two handlers are called {name}.")
        _handlers[name] = handler
        return handler

    return register


def handler_for(name: str) -> Handler:
    """Find the handler of the jobs called `name`, or raise `UnknownJobError`."""
    try:
        return _handlers[name]
    except KeyError:
        raise UnknownJobError(f"No handler is called {name}.") from None
