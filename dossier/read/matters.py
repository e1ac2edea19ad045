"""Problems and advice, which live on from note to note, and what became of them."""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import Literal

from dossier.model import Advice, AdviceNews, Problem, ProblemNews
from dossier.read.condition import component_of
from dossier.read.fields import required_slug
from dossier.read.mentions import places_in
from dossier.read.pieces import Piece, places, refuse
from dossier.read.places import places_of
from dossier.read.schema import Entry, Read
from dossier.read.times import parse_before, until
from dossier.read.values import missing, nested, parsed, the_piece
from dossier.read.yaml_nodes import Node, Pairs

_LEADING_SLUG = re.compile(r"\(\s*(?P<slug>[^()\s]+)\s*\)\s*(?=\S)")


def read_problem(node: Node, entry: Entry) -> Problem:
    """A sentence, or a map: what, slug, component, keys.  The id is given by the visit."""
    if not isinstance(node, Pairs):
        piece, slug = _own_slug(the_piece(node, entry), entry)
        return Problem(
            span=piece.span(),
            id=slug,
            slug=slug,
            text=piece.text,
            keys=places_in(piece.text, entry.setting.compass),
        )
    parts = nested(node, entry, ("what", "slug", "component", "keys"))
    what, slug = _named(node, parts, entry)
    component = ""
    if "component" in parts:
        component = component_of(the_piece(parts["component"][1], entry))
    keys = places_in(what.text, entry.setting.compass)
    if "keys" in parts:
        keys, rest = places_of(the_piece(parts["keys"][1], entry), entry)
        _nothing_left(rest, "note")
    return Problem(
        span=what.span(), id=slug, slug=slug, text=what.text, keys=keys, component=component
    )


def problem_news(what: Literal["watched", "diagnosed", "fixed", "reopened"]) -> Read:
    """A reader of `G4 buzz, still there`: which problem, then a remark."""

    def read(node: Node, entry: Entry) -> ProblemNews:
        reference, remark = _reference(node, entry, "problem")
        return ProblemNews(
            span=reference.span(),
            problem=reference.text,
            what=what,
            text=remark.text if remark else "",
            places=places(problem=reference, text=remark),
        )

    return read


def read_advice(node: Node, entry: Entry) -> Advice:
    """A sentence, perhaps with `, before October`; or a map: what, slug, before."""
    if isinstance(node, Pairs):
        parts = nested(node, entry, ("what", "slug", "before"))
        piece, slug = _named(node, parts, entry)
        before = None
        if "before" in parts:
            before = parsed(parse_before, the_piece(parts["before"][1], entry), "when")
        return Advice(span=piece.span(), id=slug, slug=slug, text=piece.text, before=before)
    piece, slug = _own_slug(the_piece(node, entry), entry)
    words, before = until(piece, entry)
    return Advice(span=piece.span(), id=slug, slug=slug, text=words, before=before)


def advice_news(what: Literal["agreed", "declined", "done"]) -> Read:
    """A reader of `outside wall, this summer`: which advice, then what the owner said."""

    def read(node: Node, entry: Entry) -> AdviceNews:
        reference, remark = _reference(node, entry, "advice")
        return AdviceNews(
            span=reference.span(),
            advice=reference.text,
            what=what,
            text=remark.text if remark else "",
            places=places(advice=reference, text=remark),
        )

    return read


def _named(node: Pairs, parts: Mapping[str, tuple[Piece, Node]], entry: Entry) -> tuple[Piece, str]:
    """What a problem or an advice written as a map is, and its slug."""
    if "what" not in parts:
        raise missing(node, entry, "what")
    slug = the_piece(parts["slug"][1], entry) if "slug" in parts else entry.slug
    what = the_piece(parts["what"][1], entry)
    return what, required_slug(slug, "a slug") if slug else ""


def _own_slug(piece: Piece, entry: Entry) -> tuple[Piece, str]:
    """The slug of a problem or an advice: on its key, or in brackets before its words."""
    if entry.slug is not None:
        return piece, required_slug(entry.slug, "a slug")
    match = _LEADING_SLUG.match(piece.text)
    if match is None:
        return piece, ""
    slug = required_slug(piece.part(match.start("slug"), match.end("slug")), "a slug")
    return piece.part(match.end()), slug


def _reference(node: Node, entry: Entry, what: str) -> tuple[Piece, Piece | None]:
    """What an earlier problem or advice is called by, and the remark that follows."""
    if isinstance(node, Pairs):
        parts = nested(node, entry, (what, "text"))
        if what not in parts:
            raise missing(node, entry, what)
        remark = the_piece(parts["text"][1], entry) if "text" in parts else None
        return the_piece(parts[what][1], entry), remark
    piece = the_piece(node, entry)
    first, *rest = piece.parts()
    if not first.text:
        raise refuse(
            "reference", f"{piece.quoted} does not say which {what} is meant.", piece.span()
        )
    return first, piece.part(rest[0].offset - piece.offset) if rest else None


def _nothing_left(rest: Piece, what: str) -> None:
    if rest.text:
        raise refuse("place", f"{rest.quoted} is not a {what}.", rest.span())
