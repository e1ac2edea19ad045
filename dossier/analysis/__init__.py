"""Figures from the record: pure functions of what was read, each with its formula and source."""
