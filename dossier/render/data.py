"""The history as JSON, for whoever keeps it in another system or reads it in fifty years."""

from __future__ import annotations

import json
from typing import Any

from dossier.edition.pages import InstrumentView
from dossier.edition.view import plain

SCHEMA = "dossier-history"
VERSION = 1


def history_json(view: InstrumentView) -> bytes:
    """All that the view holds but the names of files, as indented JSON with sorted keys.

    A photograph's own file name can tell of people; its caption says what it shows.

    `schema` and `version` say how to read it, and `limits` what the record can't say: that stands
    at the top, since a copy of the file can get away from the page that explains it.  Of a
    statement only what it fills is there: an empty list of things to do would say that none are.
    """
    history = _without_files(plain(view))
    limits = history.pop("limits")
    if view.statement is not None:
        limits = [
            text for part in view.statement.parts if part.id == "limits" for text in part.said
        ]
    if view.bench is None:
        del history["bench"]
    if view.statement is None:
        del history["statement"]
    else:
        history = {name: value for name, value in history.items() if value or name == "statement"}
    document = {"schema": SCHEMA, "version": VERSION, "limits": limits, "history": history}
    text = json.dumps(document, sort_keys=True, indent=1, ensure_ascii=False, allow_nan=False)
    return f"{text}\n".encode()


def _without_files(value: Any) -> Any:
    if isinstance(value, dict):
        return {key: _without_files(one) for key, one in value.items() if key != "file"}
    return [_without_files(one) for one in value] if isinstance(value, list) else value
