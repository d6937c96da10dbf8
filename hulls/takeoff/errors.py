"""What goes wrong with a take-off."""

from hulls.wording import FieldError


class TakeOffError(FieldError):
    """A value that no take-off can hold."""


def check_over_zero(field: str, value: float, says: str) -> None:
    """Refuse what is no finite number over zero.

    Raises
    ------
    TakeOffError
        With what `says` of the field.
    """
    if isinstance(value, bool) or not isinstance(value, int | float) or not 0.0 < value < float("inf"):
        raise TakeOffError(field, says)


def check_share(field: str, value: float, says: str) -> None:
    """Refuse what is no share from 0 to under 1.

    Raises
    ------
    TakeOffError
        With what `says` of the field.
    """
    if isinstance(value, bool) or not isinstance(value, int | float) or not 0.0 <= value < 1.0:
        raise TakeOffError(field, says)
