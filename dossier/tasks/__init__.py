"""The build as picklable functions: bytes and records in, bytes out, over any Executor.

A task reads no disk and no clock, so that it can run in another process or on another machine
and gives the same bytes there.
"""

from dossier.tasks.hand import Hand, PlainHand
from dossier.tasks.job import CHARTS, SINGLE, Job, Made
from dossier.tasks.making import make

__all__ = ["CHARTS", "SINGLE", "Hand", "Job", "Made", "PlainHand", "make"]
