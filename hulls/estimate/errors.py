"""What goes wrong with an estimate."""

from hulls.wording import FieldError


class EstimateError(FieldError):
    """A figure that no estimate can hold."""
