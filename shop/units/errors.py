"""What is raised when a quantity cannot be read, and how its text is quoted back."""

MAX_QUOTED = 30


class UnitError(ValueError):
    """A quantity that cannot be read; its message is a sentence for the person who typed it."""


def quoted(text: str) -> str:
    """Put what was typed between quotation marks, shortened and without control characters.

    Parameters
    ----------
    text
        What was typed.

    Returns
    -------
    str
        At most about 30 characters of it, safe inside a sentence.
    """
    printable = "".join(char if char.isprintable() else "�" for char in text.strip())
    if len(printable) > MAX_QUOTED:
        printable = f"{printable[:MAX_QUOTED]}…"
    return f"“{printable}”"  # curly, or 16 between straight ones would look like 16 feet
