"""Materials that trade law may control: what is declared, who says so, and who tested it."""

from __future__ import annotations

import re
from typing import Any

from dossier.diagnostics import Span
from dossier.model import Material
from dossier.quantities import parse_edtf
from dossier.read.pieces import Piece, joined, places, refuse
from dossier.read.schema import Entry
from dossier.read.values import maybe, nested, parsed, sub_entry, the_piece
from dossier.read.yaml_nodes import Node, Pairs

_SAID_BY = re.compile(r"said\s+by\s+(?=\S)", re.IGNORECASE)
_TESTED_BY = re.compile(r"(?:tested|identified)\s+by\b\s*", re.IGNORECASE)
_KEYS = ("material", "where", "said by", "tested by", "how", "when")


def read_material(node: Node, entry: Entry) -> Material:
    """`ivory, keytops, said by the owner, tested by A. Fenn, under a lens, 2024-05`, or a map.

    What follows who says so is theirs, up to who tested it; what follows that is how, and a date
    among it is when.
    """
    return _mapped(node, entry) if isinstance(node, Pairs) else _line(the_piece(node, entry))


def _line(piece: Piece) -> Material:
    material, *parts = piece.parts()
    tested = next((at for at, part in enumerate(parts) if _TESTED_BY.match(part.text)), len(parts))
    before, after = parts[:tested], parts[tested:]
    said = next((at for at, part in enumerate(before) if _SAID_BY.match(part.text)), tested)
    by = _said(piece, before[said:], after)
    test, where = _test(after)
    return Material(
        span=piece.span(),
        material=material.text,
        where=", ".join(part.text for part in before[:said] if part.text),
        said_by=by.text if by else "",
        places=places(said_by=by) | where,
        **test,
    )


def _said(piece: Piece, parts: list[Piece], after: list[Piece]) -> Piece | None:
    """Who says so, as it stands in the line up to where the test begins."""
    match = _SAID_BY.match(parts[0].text) if parts else None
    if match is None:
        return None
    end = after[0].offset - piece.offset if after else len(piece.text)
    told = piece.part(parts[0].offset - piece.offset + match.end(), end)
    return told.part(0, len(told.text.rstrip(" ,")))


def _test(parts: list[Piece]) -> tuple[dict[str, Any], dict[str, Span]]:
    """Who tested it, how and when, with their places; nothing where nobody did."""
    if not parts:
        return {}, {}
    match = _TESTED_BY.match(parts[0].text)
    who = parts[0].part(match.end() if match else 0)
    if not who.text:
        raise refuse(
            "tested-by",
            f"{parts[0].quoted} does not say who tested it.",
            parts[0].span(),
            "Write a name, or take it out: what nobody tested is declared, and no more.",
        )
    late = next((part for part in parts[1:] if _SAID_BY.match(part.text)), None)
    if late is not None:
        raise refuse(
            "said-by-late",
            f"{late.quoted} stands behind who tested it.",
            late.span(),
            "Write who says so first, then who tested it.",
        )
    dated = [maybe(parse_edtf, part.text) for part in parts[1:]]
    how = [part for part, day in zip(parts[1:], dated, strict=True) if day is None and part.text]
    days = [day for day in dated if day is not None]
    text, span = joined(how) if how else ("", None)
    test = {"tested_by": who.text, "tested_how": text, "tested": days[0] if days else None}
    return test, places(tested_by=who) | ({"tested_how": span} if span else {})


def _mapped(node: Pairs, entry: Entry) -> Material:
    parts = nested(node, entry, _KEYS)
    told = {name: the_piece(value, sub_entry(entry, key)) for name, (key, value) in parts.items()}
    if "material" not in told:
        raise refuse("missing-key", 'A material needs the key "material".', node.span)
    for name in ("how", "when"):
        if name in told and "tested by" not in told:
            raise refuse(
                "tested-by",
                f'"{name}" tells of a test, and nobody tested it.',
                told[name].span(),
                "Write who did, as tested by: and a name.",
            )
    text = {name: piece.text for name, piece in told.items()}
    return Material(
        span=node.span,
        material=text["material"],
        where=text.get("where", ""),
        said_by=text.get("said by", ""),
        tested_by=text.get("tested by", ""),
        tested_how=text.get("how", ""),
        tested=parsed(parse_edtf, told["when"], "edtf") if "when" in told else None,
        places=places(
            said_by=told.get("said by"), tested_by=told.get("tested by"), tested_how=told.get("how")
        ),
    )
