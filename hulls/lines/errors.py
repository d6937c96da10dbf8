"""What goes wrong with a set of dimensions."""


class LinesError(ValueError):
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
        self.field, self.text, self.values = field, text, values
        self.message = text % values if values else text
        super().__init__(self.message)
