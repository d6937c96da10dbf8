"""What goes wrong with a take-off."""


class TakeOffError(ValueError):
    """A value that cannot be, with the field it belongs to and a message fit for a person.

    Parameters
    ----------
    field : str
        Name of the offending field.
    message : str
        One plain sentence.
    """

    def __init__(self, field: str, message: str) -> None:
        super().__init__(message)
        self.field = field
        self.message = message


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
