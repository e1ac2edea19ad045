"""What documents are set with, for the process that workers are forked from."""

from __future__ import annotations

import gc

import dossier.render.card
import dossier.render.pdf  # noqa: F401
from dossier.render.libraries import load

load()
gc.freeze()
