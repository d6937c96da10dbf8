"""Why a file is not kept as a photo: each reason one sentence for whoever sent it."""

from typing import Final

from hulls.wording import gettext_noop


class PhotoError(ValueError):
    """A file that is not kept as a photo.

    Parameters
    ----------
    message : str
        One sentence for the person who sent it, from the list below.
    """

    def __init__(self, message: str) -> None:
        super().__init__(message)
        self.message = message


EMPTY: Final = gettext_noop("The file is empty: send it again.")
TOO_LARGE: Final = gettext_noop("The file is larger than 40 MB: send a smaller one.")
NO_PHOTO: Final = gettext_noop("This file is no photo: send a JPEG, PNG, WebP, HEIC or AVIF.")
TOO_MANY_PIXELS: Final = gettext_noop("The photo has more pixels than the shop can hold: send it smaller.")
TOO_HEAVY: Final = gettext_noop("The photo takes more memory to open than the shop has: send it smaller.")
TOO_SLOW: Final = gettext_noop("The photo takes too long to open: save it anew, or send another one.")
CUT_OFF: Final = gettext_noop("The photo is cut off: send it again.")
BROKEN: Final = gettext_noop("The photo cannot be opened: it is damaged, or far too large.")
LOST: Final = gettext_noop("The photo was lost before it was worked: send it again.")
