"""The history as JSON, for whoever keeps it in another system or reads it in fifty years."""

from __future__ import annotations

import json

from dossier.edition.pages import InstrumentView
from dossier.edition.view import plain

SCHEMA = "dossier-history"
VERSION = 1


def history_json(view: InstrumentView) -> bytes:
    """All that the view holds, and nothing else, as indented JSON with sorted keys.

    `schema` and `version` say how to read it, and `limits` what the record can't say: that stands
    at the top, since a copy of the file can get away from the page that explains it.
    """
    history = plain(view)
    limits = history.pop("limits")
    if view.bench is None:
        del history["bench"]
    document = {"schema": SCHEMA, "version": VERSION, "limits": limits, "history": history}
    text = json.dumps(document, sort_keys=True, indent=1, ensure_ascii=False, allow_nan=False)
    return f"{text}\n".encode()
