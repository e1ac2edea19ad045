"""Why a recording is refused."""

from __future__ import annotations


class RecordingError(ValueError):
    """A recording that can't be copied; the message is a sentence for the technician."""


DAMAGED = "is damaged: it can't be read to its end."
