"""What charts are drawn with, for the process that workers are forked from; nothing is drawn."""

from __future__ import annotations

import gc

import altair as alt  # noqa: F401
import vl_convert  # noqa: F401

import dossier.charts.explorable
import dossier.charts.svg  # noqa: F401
from dossier.charts import draughtsmen

draughtsmen()
gc.freeze()
