"""What the checks find, each instrument's own findings remembered from build to build."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date
from functools import cache

from pydantic import TypeAdapter, ValidationError

from dossier.diagnostics import Diagnostic, in_order
from dossier.model import Client, Notebook
from dossier.store import Memory
from dossier.tasks import Job

Found = tuple[Diagnostic, ...]


def checked(notebook: Notebook, today: date, keys: Mapping[str, Job], memory: Memory) -> Found:
    """The findings of all checks, as `run_checks` has them.

    `keys` are the instruments that can be made, each by the key of all that it is made of.
    """
    from dossier.checks import across, of_one

    key_of = {job.history.instrument.id: key for key, job in keys.items()}
    clients = _clients().dump_json(notebook.clients)
    found = list(across(notebook, today))
    for name in notebook.instruments:
        key = memory.key(clients, today.isoformat().encode(), key_of.get(name, "").encode())
        known = _read(memory.recall(key)) if name in key_of else None
        if known is None:
            known = of_one(notebook, name, today)
            if name in key_of:
                memory.keep(key, _findings().dump_json(known))
        found += known
    return in_order(found)


def _read(data: bytes | None) -> Found | None:
    try:
        return None if data is None else _findings().validate_json(data)
    except ValidationError:
        return None


@cache
def _findings() -> TypeAdapter[Found]:
    return TypeAdapter(Found)


@cache
def _clients() -> TypeAdapter[dict[str, Client]]:
    return TypeAdapter(dict[str, Client])
