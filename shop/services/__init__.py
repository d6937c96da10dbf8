"""Writes of the shop itself."""
