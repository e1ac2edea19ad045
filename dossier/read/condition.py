"""The state of the instrument's parts: grades by component, and its humidity equipment."""

from __future__ import annotations

import re

from dossier.model import COMPONENTS, GRADES, EquipmentNote, Graded
from dossier.quantities import When, parse_date, parse_when
from dossier.read.fields import meant
from dossier.read.pieces import Piece, key_shape, places, refuse
from dossier.read.schema import Entry
from dossier.read.values import listed, one_of, parsed, sub_entry, the_piece
from dossier.read.yaml_nodes import Node, Pairs

COMPONENT_WORDS = {
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
_grade = one_of((grade.name for grade in GRADES), "grade", "a grade")
EQUIPMENT_WORDS: tuple[str, ...] = (
    "fitted",
    "serviced",
    "working",
    "dry",
    "unplugged",
    "removed",
    "faulty",
)
_NEXT_SERVICE = re.compile(r",?\s*(?:and\s+)?next\s+service\s*:?\s*", re.IGNORECASE)
# A second state on one line, as in `found working, then serviced today`.
_SECOND_STATE = re.compile(
    r"(?:^|[,;]|\b(?=and|but|then))\s*(?:(?:and|but|then|now)\s+)*(?:found\s+)?"
    rf"(?P<state>{'|'.join(EQUIPMENT_WORDS)})"
    r"(?:\s+(?:again|now|today|too|on\b[^,;]*|for\b[^,;]*|by\b[^,;]*|\d[^,;]*))?\s*(?=[,;.]|$)",
    re.IGNORECASE,
)


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
        grade = _grade(first, sub_entry(entry, key))
        remark = _behind(piece.part(len(first.text)))
        if any(one.component == component for one in graded):
            raise refuse(
                "component-twice",
                f'"{component}" has two grades.',
                key.span(),
                "Keep one; a component has one grade a visit.",
            )
        graded.append(
            Graded(
                span=piece.span(),
                component=component,
                grade=grade,
                remark=remark.text,
                places=places(remark=remark),
            )
        )
    return tuple(graded)


def _behind(piece: Piece) -> Piece:
    """What follows a first word, without the commas around it."""
    bare = piece.text.lstrip(" ,;")
    start = len(piece.text) - len(bare)
    return piece.part(start, start + len(bare.rstrip(" ,;")))


def component_of(piece: Piece) -> str:
    """A component of the one fixed list, by its name or what people call it."""
    shape = key_shape(piece.text)
    for name in COMPONENTS:
        if shape in (name, name.removesuffix("s"), f"{name}s"):
            return name
    if shape in COMPONENT_WORDS:
        return COMPONENT_WORDS[shape]
    raise refuse(
        "component",
        f"{piece.quoted} is not a component.",
        piece.span(),
        *meant(piece, COMPONENTS, f"The components are {listed(COMPONENTS)}."),
    )


def read_equipment(piece: Piece, entry: Entry) -> EquipmentNote:
    """`serviced, next service 2026-10`, `found unplugged`, `fitted 2021-10-04, …`."""
    when = entry.setting.day
    words = piece.part(6) if piece.text.casefold().startswith("found ") else piece
    first = re.match(r"[\w-]+", words.text)
    state = first[0].casefold() if first else ""
    if state not in EQUIPMENT_WORDS or first is None:
        raise refuse(
            "equipment",
            f"{piece.quoted} does not begin with what is known of humidity equipment.",
            words.span(0, len(state)),
            *meant(
                words.part(0, len(state)),
                EQUIPMENT_WORDS,
                f"Begin with {listed(EQUIPMENT_WORDS)}.",
            ),
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
    if second := _SECOND_STATE.search(rest.text):
        raise refuse(
            "equipment-two",
            f'{piece.quoted} says two things of the equipment, "{state}" and "{second["state"]}".',
            rest.span(second.start("state"), len(second["state"])),
            'Write each on a line of its own, after "- ".',
        )
    text = _behind(rest)
    return EquipmentNote(
        span=piece.span(),
        what=state,  # type: ignore[arg-type]
        when=when,
        text=text.text,
        places=places(text=text),
        next_service=next_service,
    )
