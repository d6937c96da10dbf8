"""The marks that stand in a written letter where the secret addresses and the photos come in when it goes out.

A letter lies in the out-tray for weeks; an address that opens the boat's page must not lie there with it.
"""

PAGE = "\ue000page\ue001"
STOP = "\ue000stop\ue001"
PHOTOS = "<!--\ue000photos\ue001-->"


def filled(text: str, *, page: str, stop: str, photos: str = "") -> str:
    """A written letter with everything in it."""
    return text.replace(PAGE, page).replace(STOP, stop).replace(PHOTOS, photos)
