"""The one error type of the stage engine."""

from hulls.wording import FieldError


class EngineError(FieldError):
    """A value that cannot be in the trade."""
