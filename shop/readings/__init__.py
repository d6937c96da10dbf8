"""Readings of the air from sensors and loggers: what they send, what is taken, and what looks wrong with it."""
