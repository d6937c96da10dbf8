"""What goes wrong with an estimate."""


class EstimateError(ValueError):
    """A figure that no estimate can hold.

    Parameters
    ----------
    field : str
        Name of the figure, so that a form can put the message beside it.
    message : str
        One sentence for the person who typed it.
    """

    def __init__(self, field: str, message: str) -> None:
        super().__init__(message)
        self.field = field
        self.message = message


def gettext_noop(text: str) -> str:
    """Mark a sentence for the catalogue of translations; the pages translate it when they show it."""
    return text
