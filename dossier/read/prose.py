"""Short forms that are sentences: problems and their news, advice, what comes next, pictures."""

from __future__ import annotations

import re
from typing import Literal

from dossier.model import (
    COMPONENTS,
    GRADES,
    Advice,
    AdviceNews,
    Correction,
    EquipmentNote,
    Follow,
    Graded,
    Photo,
    Problem,
    ProblemNews,
)
from dossier.quantities import When, parse_date, parse_period, parse_when
from dossier.read.fields import Entry, Read, did_you_mean, required_slug
from dossier.read.pieces import Piece, key_shape, refuse
from dossier.read.places import places_in, places_of
from dossier.read.values import (
    listed,
    maybe,
    names,
    nested,
    one_of,
    parsed,
    sub_entry,
    the_piece,
)
from dossier.read.yaml_nodes import Node, Pairs

_LEADING_SLUG = re.compile(r"\(\s*(?P<slug>[^()\s]+)\s*\)\s*(?=\S)")
_BEFORE = re.compile(
    r"(?:,\s*|\s+)(?:to\s+be\s+done\s+)?(?:before|by)\s+(?:the\s+end\s+of\s+)?", re.IGNORECASE
)
_FILE = re.compile(r"(?P<file>.*?\.[A-Za-z0-9]{2,5})(?:\s*[,:]?\s+(?P<caption>.*)|\s*)", re.DOTALL)
_COMPONENT_WORDS = {
    "lyre": "pedals and lyre",
    "pedals": "pedals and lyre",
    "pedal": "pedals and lyre",
    "case": "case and legs",
    "legs": "case and legs",
    "cabinet": "case and legs",
    "pins": "tuning pins",
    "pinblock": "pin block",
    "wrest plank": "pin block",
    "sound board": "soundboard",
    "castors": "casters",
    "keyboard": "keys",
    "frame": "plate",
}
_EQUIPMENT_WORDS: tuple[str, ...] = (
    "fitted",
    "serviced",
    "working",
    "dry",
    "unplugged",
    "removed",
    "faulty",
)
_NEXT_SERVICE = re.compile(r",?\s*(?:and\s+)?next\s+service\s*:?\s*", re.IGNORECASE)


def read_problem(node: Node, entry: Entry) -> Problem:
    """A sentence, or a map: what, slug, component, keys.  The id is given by the visit."""
    if not isinstance(node, Pairs):
        piece, slug = _own_slug(the_piece(node, entry), entry)
        return Problem(
            span=piece.span(), id=slug, slug=slug, text=piece.text, keys=places_in(piece.text)
        )
    parts = nested(node, entry, ("what", "slug", "component", "keys"))
    if "what" not in parts:
        raise _needs(node, entry, "what")
    what = the_piece(parts["what"][1], entry)
    slug = entry.slug.text if entry.slug else ""
    if "slug" in parts:
        slug = required_slug(the_piece(parts["slug"][1], entry), "a slug")
    component = ""
    if "component" in parts:
        component = component_of(the_piece(parts["component"][1], entry))
    keys = places_in(what.text)
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
            text=remark,
            places={"problem": reference.span()},
        )

    return read


def read_advice(node: Node, entry: Entry) -> Advice:
    """A sentence, perhaps with `, before October`; or a map: what, slug, before."""
    if isinstance(node, Pairs):
        parts = nested(node, entry, ("what", "slug", "before"))
        if "what" not in parts:
            raise _needs(node, entry, "what")
        piece = the_piece(parts["what"][1], entry)
        slug = entry.slug.text if entry.slug else ""
        if "slug" in parts:
            slug = required_slug(the_piece(parts["slug"][1], entry), "a slug")
        before = None
        if "before" in parts:
            before = parsed(_before, the_piece(parts["before"][1], entry), "when")
        return Advice(span=piece.span(), id=slug, slug=slug, text=piece.text, before=before)
    piece, slug = _own_slug(the_piece(node, entry), entry)
    words, before = _until(piece)
    return Advice(span=piece.span(), id=slug, slug=slug, text=words, before=before)


def advice_news(what: Literal["agreed", "declined", "done"]) -> Read:
    """A reader of `outside wall, this summer`: which advice, then what the owner said."""

    def read(node: Node, entry: Entry) -> AdviceNews:
        reference, remark = _reference(node, entry, "advice")
        return AdviceNews(
            span=reference.span(),
            advice=reference.text,
            what=what,
            text=remark,
            places={"advice": reference.span()},
        )

    return read


def read_follow(node: Node, entry: Entry) -> Follow:
    """`check the splice, 4-8 weeks`, or a map: what, when."""
    if isinstance(node, Pairs):
        parts = nested(node, entry, ("what", "when"))
        if "what" not in parts:
            raise _needs(node, entry, "what")
        piece = the_piece(parts["what"][1], entry)
        when = None
        if "when" in parts:
            when = parsed(parse_when, the_piece(parts["when"][1], entry), "when")
        return Follow(span=piece.span(), text=piece.text, when=when)
    piece = the_piece(node, entry)
    *before, last = piece.parts()
    if not before:
        return Follow(span=piece.span(), text=piece.text)
    when = maybe(parse_when, _plainly(last.text))
    if when is None:
        if re.match(r"\d", last.text) and not re.search(r"[A-Ha-h][#b]?\d", last.text):
            # `4-8 weaks` is nearly a period, `2026-13` nearly a month.
            parsed(parse_period if last.text[-1].isalpha() else parse_when, last, "when")
        return Follow(span=piece.span(), text=piece.text)
    words = piece.part(0, last.offset - piece.offset).text.rstrip(" ,")
    return Follow(span=piece.span(), text=words, when=when, places={"when": last.span()})


def photo_reader(kind: Literal["picture", "audio"]) -> Read:
    """A reader of `pins.jpg the splice on D#1`, or of a map: file, caption, release."""

    def read(node: Node, entry: Entry) -> Photo:
        if isinstance(node, Pairs):
            parts = nested(node, entry, ("file", "caption", "release"))
            if "file" not in parts:
                raise _needs(node, entry, "file")
            file = the_piece(parts["file"][1], entry)
            caption = the_piece(parts["caption"][1], entry).text if "caption" in parts else ""
            release: tuple[str, ...] = ()
            if "release" in parts:
                release = read_release(parts["release"][1], sub_entry(entry, parts["release"][0]))
            return Photo(
                span=file.span(), file=file.text, caption=caption, kind=kind, release=release
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
        return Photo(
            span=piece.span(0, match.end("file")),
            file=match["file"].strip(),
            caption=(match["caption"] or "").strip(),
            kind=kind,
        )

    return read


def read_condition(node: Node, entry: Entry) -> tuple[Graded, ...]:
    """A map of components: `keys: fair, front bushings swollen`, or `not examined`."""
    if not isinstance(node, Pairs):
        raise refuse(
            "condition-shape",
            '"condition" needs a component for each grade.',
            node.span,
            "Write below it, indented, one line for each, as in keys: fair, bushings swollen",
        )
    graded: list[Graded] = []
    for key, value in node.pairs:
        component = component_of(key)
        piece = the_piece(value, sub_entry(entry, key))
        first, *_ = piece.parts()
        grade = one_of((grade.name for grade in GRADES), "grade", "a grade")(
            first, sub_entry(entry, key)
        )
        remark = piece.part(len(first.text)).text.lstrip(", ")
        graded.append(Graded(span=piece.span(), component=component, grade=grade, remark=remark))
    return tuple(graded)


def component_of(piece: Piece) -> str:
    """A component of the one fixed list, by its name or what people call it."""
    shape = key_shape(piece.text)
    for name in COMPONENTS:
        if shape in (name, name.removesuffix("s"), f"{name}s"):
            return name
    if shape in _COMPONENT_WORDS:
        return _COMPONENT_WORDS[shape]
    raise refuse(
        "component",
        f"{piece.quoted} is not a component.",
        piece.span(),
        did_you_mean(piece.text, COMPONENTS, f"The components are {listed(COMPONENTS)}."),
    )


def read_equipment(piece: Piece, entry: Entry) -> EquipmentNote:
    """`serviced, next service 2026-10`, `found unplugged`, `fitted 2021-10-04, …`."""
    when = entry.setting.day
    words = piece.part(6) if piece.text.casefold().startswith("found ") else piece
    first = re.match(r"[\w-]+", words.text)
    state = first[0].casefold() if first else ""
    if state not in _EQUIPMENT_WORDS or first is None:
        raise refuse(
            "equipment",
            f"{piece.quoted} does not begin with what is known of humidity equipment.",
            words.span(0, len(state)),
            did_you_mean(state, _EQUIPMENT_WORDS, f"Begin with {listed(_EQUIPMENT_WORDS)}."),
        )
    rest = words.part(first.end())
    own_day = re.match(r"(?:on\s+)?(\d{4}-\d\d?-\d\d?)", rest.text)
    if own_day:
        when = parsed(parse_date, rest.part(own_day.start(1), own_day.end(1)), "date")
        rest = rest.part(own_day.end())
    next_service: When | None = None
    if service := _NEXT_SERVICE.search(rest.text):
        next_service = parsed(parse_when, rest.part(service.end()), "when")
        rest = rest.part(0, service.start())
    return EquipmentNote(
        span=piece.span(),
        what=state,  # type: ignore[arg-type]
        when=when,
        text=rest.text.strip(" ,;"),
        next_service=next_service,
    )


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
    return Correction(span=piece.span(), when=when, text=word[1])


def read_release(node: Node, entry: Entry) -> tuple[str, ...]:
    """Editions to which something is released: `sale`, `appraisal`."""
    nodes = (node,) if not hasattr(node, "nodes") else node.nodes
    editions = one_of(("sale", "appraisal"), "edition")
    return tuple(
        editions(part, entry)
        for one in nodes
        for part in the_piece(one, entry).parts()
        if part.text and names(part, entry)
    )


def _own_slug(piece: Piece, entry: Entry) -> tuple[Piece, str]:
    """The slug of a problem or an advice: on its key, or in brackets before its words."""
    if entry.slug is not None:
        return piece, required_slug(entry.slug, "a slug")
    match = _LEADING_SLUG.match(piece.text)
    if match is None:
        return piece, ""
    slug = required_slug(piece.part(match.start("slug"), match.end("slug")), "a slug")
    return piece.part(match.end()), slug


def _reference(node: Node, entry: Entry, what: str) -> tuple[Piece, str]:
    """What an earlier problem or advice is called by, and the remark that follows."""
    if isinstance(node, Pairs):
        parts = nested(node, entry, (what, "text"))
        if what not in parts:
            raise _needs(node, entry, what)
        remark = the_piece(parts["text"][1], entry).text if "text" in parts else ""
        return the_piece(parts[what][1], entry), remark
    piece = the_piece(node, entry)
    first, *rest = piece.parts()
    if not first.text:
        raise refuse(
            "reference", f"{piece.quoted} does not say which {what} is meant.", piece.span()
        )
    return first, piece.part(rest[0].offset - piece.offset).text if rest else ""


def _until(piece: Piece) -> tuple[str, When | None]:
    """Take `, before October` off the end of an advice, where it names a time."""
    for match in reversed(list(_BEFORE.finditer(piece.text))):
        when = maybe(_before, piece.text[match.end() :].rstrip(" ."))
        if when is not None:
            return piece.text[: match.start()].rstrip(" ,"), when
    return piece.text, None


def _before(words: str) -> When:
    """A time before which something is to be done.  Raises QuantityError."""
    if words.casefold().startswith("before "):
        return parse_when(words)
    found = maybe(parse_when, f"before {words}")
    return parse_when(words) if found is None else found


def _plainly(words: str) -> str:
    """`by October` and `about 3 weeks` in the words that the calendar's parser knows."""
    words = re.sub(r"^by\s+", "before ", words, flags=re.IGNORECASE)
    return re.sub(r"^(?:within|from|about)\s+", "", words, flags=re.IGNORECASE)


def _needs(node: Pairs, entry: Entry, key: str) -> Exception:
    return refuse(
        "missing-key", f'"{entry.key.text}" written as a map needs the key "{key}".', node.span
    )


def _nothing_left(rest: Piece, what: str) -> None:
    if rest.text:
        raise refuse("place", f"{rest.quoted} is not a {what}.", rest.span())
