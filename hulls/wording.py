"""What the packages of the pure core share: errors that belong to a field, and the mark of texts to be translated."""


class FieldError(ValueError):
    """A value that cannot be, with the field it belongs to and a message fit for a person.

    Parameters
    ----------
    field : str
        Name of the offending field, so that a form can put the message beside it.
    message : str
        One plain sentence.
    """

    def __init__(self, field: str, message: str) -> None:
        super().__init__(message)
        self.field = field
        self.message = message


def gettext_noop(text: str) -> str:
    """Mark a sentence for the catalogue of translations; the pages translate it when they show it."""
    return text
