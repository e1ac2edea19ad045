"""instruments/<instrument>/instrument.md: what it is, where it stands, where it came from."""

from __future__ import annotations

import re
from dataclasses import replace
from typing import Any

from dossier.diagnostics import Span
from dossier.model import Consent, Instrument, OwnTarget, Valuation
from dossier.quantities import (
    parse_date,
    parse_edtf,
    parse_period,
    parse_pitch,
    parse_places,
)
from dossier.read.body import parted, read_body
from dossier.read.condition import read_equipment
from dossier.read.fields import Draft, meant, read_fields, record
from dossier.read.materials import read_material
from dossier.read.note import Note, open_note
from dossier.read.pieces import Findings, Piece, key_shape, refuse
from dossier.read.places import places_of
from dossier.read.provenance import read_event, read_standing
from dossier.read.schema import Entry, Field, Setting, Table, sentences
from dossier.read.targets import read_range
from dossier.read.values import (
    one_of,
    parsed,
    quantity,
    read_money,
    single,
    slug,
    sub_entry,
    text,
    the_piece,
)
from dossier.read.yaml_nodes import Node, Pairs

FULL_COMPASS = (1, 88)
_BASIS = re.compile(r"basis\s+(?=\S)", re.IGNORECASE)
_BY = re.compile(r"by\s+(?=\S)", re.IGNORECASE)


def _compass(piece: Piece, _: Entry) -> tuple[int, int]:
    marked, rest = parsed(parse_places, piece, "compass")
    if len(marked) != 1 or rest or marked[0].first == marked[0].last:
        raise refuse(
            "compass", f"{piece.quoted} is not a compass.", piece.span(), "Write it like A0-C8."
        )
    return marked[0].first, marked[0].last


def _breaks(piece: Piece, entry: Entry) -> tuple[int, ...]:
    marked, rest = places_of(piece, entry)
    wrong = rest.text or not marked or any(place.first != place.last for place in marked)
    if wrong:
        raise refuse(
            "breaks",
            f"{(rest if rest.text else piece).quoted} is not a note.",
            (rest if rest.text else piece).span(),
            "Write the first note of each further section, as in F2, C#5.",
        )
    keys = tuple(place.first for place in marked)
    if list(keys) != sorted(set(keys)):
        raise refuse(
            "breaks-order", "The breaks do not run upwards.", piece.span(),
            "Write them from the bass to the treble, each once.",
        )  # fmt: skip
    return keys


def _consent(piece: Piece, _: Entry) -> Consent:
    """`raise on old wire, 2022-04-02, by the owner`."""
    parts = piece.parts()
    at = next((at for at, part in enumerate(parts) if re.match(r"\d{4}", part.text)), None)
    if not at:
        raise refuse(
            "consent",
            f"{piece.quoted} does not say what was agreed and on which day.",
            piece.span(),
            "Write it like raise on old wire, 2022-04-02, by the owner",
        )
    when = parsed(parse_date, parts[at], "date")
    what = piece.part(0, parts[at].offset - piece.offset).text.rstrip(" ,")
    by = ", ".join(part.text for part in parts[at + 1 :])
    by = by[3:] if by.casefold().startswith("by ") else by
    return Consent(span=piece.span(), what=what, when=when, by=by)


def _valuation(piece: Piece, entry: Entry) -> Valuation:
    """`2024-05-02, 12,000 EUR, for insurance, basis replacement, by N. N., appraiser`.

    What for and the basis may be left out; both stand before who gave it.
    """
    when, *parts = piece.parts()
    at = next((at for at, part in enumerate(parts) if _BY.match(part.text)), 0)
    if not at:
        raise refuse(
            "valued",
            f"{piece.quoted} does not say whose value it is, of which day and how much.",
            piece.span(),
            "Write it like 2024-05-02, 12000 EUR, by the appraiser's name",
        )
    money, *rest = parts[:at]
    bases = [part.part(found.end()) for part in rest if (found := _BASIS.match(part.text))]
    purposes = [part for part in rest if not _BASIS.match(part.text)]
    return Valuation(
        span=piece.span(),
        when=parsed(parse_date, when, "date"),
        amount=read_money(money, entry),
        by=", ".join((_BY.sub("", parts[at].text), *(part.text for part in parts[at + 1 :]))),
        purpose=", ".join(part.text for part in purposes),
        basis=", ".join(part.text for part in bases),
    )


def _targets(node: Node, entry: Entry) -> tuple[OwnTarget, ...]:
    """A map: `key dip: 9.8-10.2 mm`, perhaps with `, the maker's sheet` as its source."""
    if not isinstance(node, Pairs):
        raise refuse(
            "map-expected",
            '"targets" needs a measured kind for each target.',
            node.span,
            "Write below it, indented, as in key dip: 9.8-10.2 mm",
        )
    kinds = {key_shape(kind.name): kind for kind in entry.setting.measured_kinds}
    targets: list[OwnTarget] = []
    for key, value in node.pairs:
        kind = kinds.get(key_shape(key.text))
        if kind is None:
            raise refuse(
                "measured-kind",
                f'"{key.text}" is not a measured kind.',
                key.span(),
                *meant(key, kinds, "Add it to the measured kinds in shop.md."),
            )
        figure, *source = the_piece(value, sub_entry(entry, key)).parts()
        low, high = read_range(figure, kind.unit, "target")
        told = ", ".join(part.text for part in source)
        targets.append(
            OwnTarget(span=figure.span(), kind=kind.name, low=low, high=high, source=told)
        )
    return tuple(targets)


INSTRUMENT_TABLE = Table.of(
    "an instrument",
    (
        Field("client", "client", single(slug("the name of a client's file")),
              "the name of its client's file, without .md"),
        Field("title", "title", single(text),
              "how it is called on its pages; choose a name that tells nobody whose it is"),
        Field("shape", "shape", single(one_of(("upright", "grand", "square", "other"))),
              "what it is built like; it decides which targets and advice apply"),
        Field("type", "object_type", single(text), "the type of object for an inventory, in words"),
        Field("maker", "maker", single(text), "the maker's name, as it stands on the instrument"),
        Field("model", "model", single(text), "the model, as it stands on the instrument"),
        Field("made", "made", single(quantity(parse_edtf, "edtf")),
              "the year in which it was made: 1912~ is about 1912, 190X some year of that "
              "decade"),
        Field("age known from", "age_known_from", single(text), "how you know its age"),
        Field("serial number", "serial_number", single(text),
              "the number as it is stamped, or not found", aliases=("serial",)),
        Field("inventory number", "inventory_number", single(text),
              "the owner's own number for it", aliases=("inventory",)),
        Field("materials", "materials", single(text),
              "materials and techniques, for a description after the "
              "Object ID standard", aliases=("material",)),
        Field("measurements", "measurements", single(text),
              "its size, for a description after the Object ID standard"),
        Field("inscriptions", "inscriptions", single(text),
              "inscriptions and markings, for a description after the "
              "Object ID standard", aliases=("inscription",)),
        Field("features", "features", single(text),
              "what tells it from others of its kind, for a description "
              "after the Object ID standard", aliases=("feature",)),
        Field("subject", "subject", single(text),
              "what is pictured on it, for a description after the Object ID standard"),
        Field("reference pitch", "reference_hz", single(quantity(parse_pitch, "pitch")),
              "what it is tuned to, where it is not the shop's own pitch", aliases=("pitch",)),
        Field("compass", "compass", single(_compass),
              "its lowest and highest note; A0-C8 where nothing is said"),
        Field("breaks", "breaks", single(_breaks),
              "the first note of each further section: of the tenor, then of the treble"),
        sentences("stands", "standings", single(read_standing),
              "its room's file, since when, and behind commas what is near, such as an outside "
              "wall or a stove"),
        sentences("humidity equipment", "equipment", single(read_equipment),
              "what is fitted, since when, and when its next service is"),
        sentences("controlled materials", "controlled", read_material,
              "ivory and the like, where it is, who says so, and who tested it, how and when"),
        Field("leave below pitch", "leave_below_pitch", single(text),
              "why it is not raised to pitch; it is then not called flat"),
        sentences("consent", "consents", single(_consent),
                  "what the owner agreed to, the day, and by whom"),
        sentences("valued", "valued", single(_valuation),
              "a value that an appraiser gave: the day, the amount, what for, its basis, by whom; "
              "the program works out none"),
        Field("targets", "own_targets", _targets,
              "for a measured kind, the figure to aim for on this instrument, which comes "
              "before the general one"),
        sentences("provenance", "provenance", read_event,
                  "an event of its life: a year or day, what happened, and behind commas its "
                  "source and how certain it is"),
        Field("interval", "interval", single(quantity(parse_period, "period")),
              "how long after a tuning the next is due; the client's or the shop's own where "
              "nothing is said"),
        Field("wood", "wood", single(text), "the wood of the soundboard"),
        Field("photo", "photo", single(text),
              "the file of a picture in media/ for the head of its pages"),
        Field("private", "private", single(text), "a sentence for the bench alone"),
    ),
)  # fmt: skip


def read_instrument(
    raw: bytes, file: str, slug: str, setting: Setting, findings: Findings
) -> Instrument | None:
    """Read an instrument's file.  Its compass holds for all notes that it names itself."""
    note = open_note(raw, file, INSTRUMENT_TABLE, findings)
    if note is None:
        return None
    setting = _with_compass(note, setting)
    draft = read_fields(note.tree, INSTRUMENT_TABLE, setting, findings, ("client", "title"))
    passages = read_body(note.body, file, note.body_line, findings)
    about, bench = parted(passages)
    told = [passage.span for passage in passages if passage.audience == "owner"]
    if len(told) == 1:
        draft.places["about"] = told[0]
    if "client" not in draft.values or "title" not in draft.values:
        return None
    return _build(draft, about, bench, Span(file), slug, findings)


def _build(
    draft: Draft, about: str, bench: str, span: Span, slug: str, findings: Findings
) -> Instrument | None:
    lowest, highest = draft.take("compass", FULL_COMPASS)
    private = "\n\n".join(part for part in (draft.take("private", ""), bench) if part)
    values: dict[str, Any] = draft.values
    return record(
        Instrument,
        span,
        findings,
        id=slug,
        lowest_key=lowest,
        highest_key=highest,
        about=about,
        private=private,
        places=draft.places,
        **values,
    )


def _with_compass(note: Note, setting: Setting) -> Setting:
    """The setting with the compass of the note at hand, read before anything that names notes."""
    for key, node in note.tree.pairs:
        if key_shape(key.text) == "compass":
            quiet = Findings()
            draft = read_fields(Pairs(((key, node),), node.span), INSTRUMENT_TABLE, setting, quiet)
            low, high = draft.take("compass", FULL_COMPASS)
            return replace(setting, lowest=low, highest=high)
    return setting
