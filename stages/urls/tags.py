"""How a hull's tag stands in an address."""

from django.urls import register_converter

from hulls.tags import PATTERN


class TagConverter:
    """A hull's tag."""

    regex = PATTERN

    def to_python(self, value: str) -> str:
        """The tag as it stands in the address."""
        return value

    def to_url(self, value: str) -> str:
        """The tag as it goes into an address."""
        return value


register_converter(TagConverter, "tag")
