"""What goes wrong with a set of dimensions."""


class LinesError(ValueError):
    """A dimension that no canoe has.

    Parameters
    ----------
    field : str
        Name of the dimension, as in `Principal`, so that a form can put the message beside it.
    message : str
        One sentence for the person who typed it.
    """

    def __init__(self, field: str, message: str) -> None:
        super().__init__(message)
        self.field = field
        self.message = message
