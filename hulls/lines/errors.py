"""What goes wrong with a set of dimensions."""

from hulls.wording import FieldError


class LinesError(FieldError):
    """A dimension that no canoe has.

    Parameters
    ----------
    field : str
        Name of the dimension, as in `Principal`, so that a form can put the message beside it.
    text : str
        One sentence for the person who typed it; with ``%(name)s`` gaps where there are values.
    values : str
        What fills the gaps; ``limits`` is a sentence of its own.
    """

    def __init__(self, field: str, text: str, **values: str) -> None:
        super().__init__(field, text % values if values else text)
        self.text, self.values = text, values
