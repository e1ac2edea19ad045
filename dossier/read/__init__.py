"""Notes to model: find files, split front matter, turn values into records, join what they say.

Everything returns `(value, diagnostics)`; nothing here prints, exits or stops at the first error.
"""

from dossier.read.client import CLIENT_TABLE
from dossier.read.folder import list_folder
from dossier.read.instrument import INSTRUMENT_TABLE
from dossier.read.linking import link_visits
from dossier.read.notebook import read_notebook, read_sources, source_line
from dossier.read.remembered import Recollection
from dossier.read.rooms import ROOM_TABLE
from dossier.read.schema import Field, Setting, Table
from dossier.read.shop import SHOP_TABLE
from dossier.read.visit import VISIT_FIELDS, Occasion, read_visit_text, shop_setting, visit_table
from dossier.sources import Sources, open_folder

__all__ = [
    "CLIENT_TABLE",
    "INSTRUMENT_TABLE",
    "ROOM_TABLE",
    "SHOP_TABLE",
    "VISIT_FIELDS",
    "Field",
    "Occasion",
    "Recollection",
    "Setting",
    "Sources",
    "Table",
    "link_visits",
    "list_folder",
    "open_folder",
    "read_notebook",
    "read_sources",
    "read_visit_text",
    "shop_setting",
    "source_line",
    "visit_table",
]
