"""The technician's guide: pages written by hand, and lists made from what the program knows."""

FOLDER = "guide"
"""Where it stands on the bench."""
