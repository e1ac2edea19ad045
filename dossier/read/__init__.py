"""Notes to model: find files, split front matter, turn values into records, join what they say.

Everything returns `(value, diagnostics)`; nothing here prints, exits or stops at the first error.
"""

from dossier.read.files import Sources, open_folder
from dossier.read.notebook import read_notebook, read_sources, source_line
from dossier.read.schema import Setting
from dossier.read.visit import Occasion, read_visit_text

__all__ = [
    "Occasion",
    "Setting",
    "Sources",
    "open_folder",
    "read_notebook",
    "read_sources",
    "read_visit_text",
    "source_line",
]
