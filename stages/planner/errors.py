"""What goes wrong with a planning problem."""

from hulls.wording import FieldError


class PlannerError(FieldError):
    """A value that no planning problem can hold."""
