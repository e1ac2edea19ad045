"""Short forms that are sentences: what comes next, pictures, corrections, releases."""

from __future__ import annotations

import re
from typing import Literal

from dossier.model import VIEWS, Correction, Follow, Photo
from dossier.quantities import parse_date, parse_when
from dossier.read.pieces import Piece, places, refuse
from dossier.read.schema import Entry, Read
from dossier.read.times import at_end
from dossier.read.values import missing, nested, one_of, parsed, sub_entry, the_piece
from dossier.read.yaml_nodes import Items, Node, Pairs

_SECOND_FILE = re.compile(
    r"[\w-]+\.(?:jpe?g|png|webp|gif|tiff?|bmp|svg|hei[cf]|avif|mp3|m4a|wav|ogg|opus|flac|mp4|m4v)\b",
    re.IGNORECASE,
)
_FILE = re.compile(r"(?P<file>.*?\.[A-Za-z0-9]{2,5})(?:\s*[,:]?\s+(?P<caption>.*)|\s*)", re.DOTALL)

_view = one_of((view.name for view in VIEWS), "view", "a view that a picture can show")


def read_follow(node: Node, entry: Entry) -> Follow:
    """`check the splice, 4-8 weeks`, or a map: what, when."""
    if isinstance(node, Pairs):
        parts = nested(node, entry, ("what", "when"))
        if "what" not in parts:
            raise missing(node, entry, "what")
        piece = the_piece(parts["what"][1], entry)
        when = None
        if "when" in parts:
            when = parsed(parse_when, the_piece(parts["when"][1], entry), "when")
        return Follow(span=piece.span(), text=piece.text, when=when)
    piece = the_piece(node, entry)
    words, when, last = at_end(piece, entry)
    place = places(when=last if when else None)
    return Follow(span=piece.span(), text=words, when=when, places=place)


def photo_reader(kind: Literal["picture", "audio", "video"]) -> Read:
    """A reader of `pins.jpg the splice on D#1`, or of a map: file, caption, release.

    A picture's map may say as well which view it shows.
    """
    keys = ("file", "caption", *(("shows",) if kind == "picture" else ()), "release")

    def read(node: Node, entry: Entry) -> Photo:
        if isinstance(node, Pairs):
            parts = nested(node, entry, keys)
            if "file" not in parts:
                raise missing(node, entry, "file")
            file = the_piece(parts["file"][1], entry)
            caption = the_piece(parts["caption"][1], entry) if "caption" in parts else None
            release: tuple[str, ...] = ()
            if "release" in parts:
                release = read_release(parts["release"][1], sub_entry(entry, parts["release"][0]))
            shows = ""
            if "shows" in parts:
                key, value = parts["shows"]
                shows = _view(the_piece(value, entry), sub_entry(entry, key))
            return Photo(
                span=file.span(),
                file=file.text,
                caption=caption.text if caption else "",
                kind=kind,
                shows=shows,
                release=release,
                places=places(caption=caption),
            )
        piece = the_piece(node, entry)
        match = _FILE.fullmatch(piece.text)
        if match is None:
            raise refuse(
                "photo-no-file",
                f"{piece.quoted} does not begin with the name of a file.",
                piece.span(),
                "Write the file's name with its ending, then a caption, as in "
                "pins.jpg the splice on D#1.",
            )
        if second := _SECOND_FILE.search(match["caption"] or ""):
            raise refuse(
                "photo-two",
                f'"{second[0]}" looks like a second file.',
                piece.span(match.start("caption") + second.start(), len(second[0])),
                'Write each on a line of its own, after "- ".',
            )
        caption = piece.part(match.end() if match["caption"] is None else match.start("caption"))
        return Photo(
            span=piece.span(0, match.end("file")),
            file=match["file"].strip(),
            caption=caption.text,
            kind=kind,
            places=places(caption=caption),
        )

    return read


def read_correction(piece: Piece, _: Entry) -> Correction:
    """`2026-03-20 A4 was misread`: the day of the correction, and what it corrects."""
    word = piece.text.split(maxsplit=1)
    when = parsed(parse_date, piece.part(0, len(word[0].rstrip(",:"))), "date")
    if len(word) == 1:
        raise refuse(
            "correction",
            "The correction does not say what was wrong.",
            piece.span(),
            "Write it behind the date, as in 2026-03-20 A4 was misread",
        )
    text = piece.part(len(word[0]))
    return Correction(span=piece.span(), when=when, text=text.text, places=places(text=text))


def read_release(node: Node, entry: Entry) -> tuple[str, ...]:
    """Editions to which something is released: `sale`, `appraisal`."""
    nodes = node.nodes if isinstance(node, Items) else (node,)
    told = "an edition that prose is released to"
    edition = one_of(("sale", "appraisal"), "edition", told, shows=True)
    return tuple(
        edition(part, entry) for one in nodes for part in the_piece(one, entry).parts() if part.text
    )
