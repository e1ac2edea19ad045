"""All that nearly every task needs, loaded once by the process that workers are forked from.

Charts are mostly remembered, and take long to load: they and documents are asked for by name.
"""

from __future__ import annotations

import gc
import re

# To be there is all that is asked of them; the analysis loads scipy's when it estimates.
import scipy.special  # noqa: F401

import dossier.analysis.findings
import dossier.edition.hands
import dossier.edition.rows
import dossier.tasks.files
import dossier.tasks.shelf  # noqa: F401
from dossier.render.html import compiled
from dossier.theme import find_theme

_PAGES = re.compile(r"(bench-)?instrument\.html|base\.html|pieces\.html|parts/.*")

# A shop's own theme may have others; most have the house's.
compiled(find_theme(), lambda name: bool(_PAGES.fullmatch(name)))
gc.freeze()  # what is loaded stays, and need not be looked through in each worker
