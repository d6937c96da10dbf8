"""Writes: one function a use case. Views, commands and background work all call these; nothing else writes."""
