"""The products that a new shop starts with, and the packs that they come in."""
