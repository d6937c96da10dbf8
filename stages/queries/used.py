"""Whether the log names something, so that it cannot go."""

from typing import Literal

from stages.models import Entry

Named = Literal["station", "zone", "product"]


def named_in_log(what: Named, number: int) -> bool:
    """Whether any line of any log names the station, zone or product of this number."""
    return Entry.objects.filter(**{f"details__{what}": number}).exists()
