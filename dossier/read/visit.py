"""A visit: the table of its keys, and how what they say becomes one record."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import date
from typing import TypeVar

from dossier.diagnostics import Diagnostic, Span
from dossier.model import (
    Advice,
    Instrument,
    MarkKind,
    MeasuredKind,
    Passage,
    Problem,
    Shop,
    Visit,
)
from dossier.quantities import parse_duration, parse_pitch
from dossier.read.body import Tables, read_body
from dossier.read.condition import read_condition, read_equipment
from dossier.read.fields import Draft, read_fields, record
from dossier.read.matters import advice_news, problem_news, read_advice, read_problem
from dossier.read.note import Note, open_text
from dossier.read.pieces import Findings
from dossier.read.pitch import in_cents, pasted_pitch, read_air, read_pitch
from dossier.read.places import mark_reader, measured_reader, read_checked, read_clear
from dossier.read.prose import photo_reader, read_correction, read_follow, read_release
from dossier.read.schema import Field, Setting, Table, sentences
from dossier.read.values import quantity, read_money, single, text, why, yes_no
from dossier.read.work import read_work

_N = TypeVar("_N", Problem, Advice)


VISIT_FIELDS: tuple[Field, ...] = (
    Field("technician", "technician", single(text),
          "who came, where it was not the technician of shop.md"),
    Field("reason", "reason", single(text), "why you came, in a few words"),
    Field("air", "air", single(read_air),
          "the air at the instrument: a temperature in °C or °F, and a relative humidity in %"),
    Field("pitch", "reference_hz", single(quantity(parse_pitch, "pitch")),
          "what was tuned to at this visit, where it is not the instrument's or the shop's own"),
    Field("floated", "floated", single(yes_no),
          "yes where it was tuned to itself, at the level at which it stood"),
    Field("found", "found", read_pitch,
          "the pitch as found: notes with cents or Hz (a bare figure is cents), or one figure "
          "for the whole, as in 8 sharp; a tuning program's table goes below the second ---, "
          "between a line of ::: found and one of :::"),
    Field("left", "left", read_pitch,
          "the pitch as left: on pitch, as found, or notes with cents or Hz; a bare figure is "
          "cents; a table goes between a line of ::: left and one of :::"),
    Field("clear", "cleared", single(read_clear),
          "a mark that is no longer there: its kind and notes, or the kind alone for "
          "all of it", many=True),
    Field("checked", "checked", single(read_checked),
          "what was looked at, all or some kinds of marks: what is not marked now is "
          "not there", many=True),
    sentences("problem", "problems", read_problem,
              "what is wrong, in a sentence; a name in brackets, as in problem "
              "(lyre), serves to refer to it later", slugged=True),
    sentences("watched", "problem_news", problem_news("watched"),
              "an earlier problem that was looked at again: its name, or its note and a word of "
              "it"),
    sentences("diagnosed", "problem_news", problem_news("diagnosed"),
              "an earlier problem, and behind a comma what it turned out to be"),
    sentences("fixed", "problem_news", problem_news("fixed"),
              "an earlier problem, and behind a comma how it was mended"),
    sentences("reopened", "problem_news", problem_news("reopened"),
              "an earlier problem that is back, and behind a comma what is seen of it"),
    sentences("work", "work", read_work,
              "what was done; behind commas how long it took (bare: minutes) and a price with "
              "its currency"),
    sentences("advice", "advice", read_advice,
              "what the owner should do, and by when where that matters; it waits "
              "for an answer", slugged=True),
    sentences("agreed", "advice_news", advice_news("agreed"),
              "an earlier advice that the owner will follow, by a word or two of it"),
    sentences("declined", "advice_news", advice_news("declined"),
              "an earlier advice that the owner will not follow, by a word or two of it, and "
              "why"),
    sentences("done", "advice_news", advice_news("done"),
              "an earlier advice that was followed, by a word or two of it"),
    Field("condition", "condition", read_condition,
          "a grade for each component that was examined, and a remark behind a comma"),
    sentences("humidity equipment", "equipment", single(read_equipment),
              "what was found of it or done to it, and when its next service is"),
    Field("unsafe", "unsafe", single(why),
          "why the instrument is not to be used or moved; it stands first on its pages until a "
          "later note says safe"),
    Field("safe", "safe", single(why),
          "that it is safe again, and why; it ends an earlier unsafe"),
    sentences("next", "follow", read_follow,
              "what is next, and when: a period from this visit, a month, a season or a day"),
    sentences("photos", "photos", photo_reader("picture"),
              "the file of a picture in media/, and its caption", aliases=("pictures", "picture")),
    sentences("audio", "photos", photo_reader("audio"),
              "the file of a recording in media/, and what is heard on it"),
    sentences("video", "photos", photo_reader("video"),
              "the file of a film in media/, and what is seen on it"),
    Field("fee", "fee", single(read_money),
          "the price of the visit; a bare amount is in the shop's currency"),
    Field("time", "minutes", single(quantity(parse_duration, "duration")),
          "how long the visit took; a bare number is minutes"),
    Field("summary", "summary", single(text), "replaces the first sentence on the owner's page"),
    Field("hold", "hold", single(yes_no),
          "yes keeps the client's pages as they are until you take it out"),
    sentences("corrected", "corrections", single(read_correction),
              "the day on which this note was put right, and what was wrong in it"),
    Field("release", "release", read_release,
          "the editions that may show this note's sentences, which no statement shows by itself"),
    Field("private", "private", single(text), "a sentence for the bench alone"),
)  # fmt: skip


_ELSEWHERE = {
    "instrument": "The folder says which it is; only a note in inbox/ names it.",
    "date": "The file's name says it; only a note in inbox/ may name it.",
    "client": "The instrument's own file names its client.",
}


def visit_table(measured: tuple[MeasuredKind, ...], marks: tuple[MarkKind, ...]) -> Table:
    """The keys of a visit in a shop: the fixed ones and every measured kind and kind of mark."""
    figures = (
        Field(
            kind.name,
            "measured",
            measured_reader(kind),
            f"notes, each with a figure; a bare figure is in {kind.unit}",
            many=True,
        )
        for kind in measured
    )
    seen = (
        Field(
            kind.name,
            "marks",
            mark_reader(kind.name),
            "the notes that show it, and a remark",
            many=True,
        )
        for kind in marks
    )
    return Table.of("a visit", (*VISIT_FIELDS, *figures, *seen), _ELSEWHERE)


def shop_setting(shop: Shop) -> Setting:
    """What a shop's own file says of the reading of all others."""
    return Setting(
        currency=shop.currency,
        imperial=shop.units == "imperial",
        time_zone=shop.time_zone,
        measured_kinds=shop.measured_kinds,
        mark_kinds=shop.mark_kinds,
        default_pitch=float(shop.reference_hz),
        visit_table=visit_table(shop.measured_kinds, shop.mark_kinds),
    )


def table_for(setting: Setting) -> Table:
    """The table of a setting; a notebook makes it once and keeps it in its setting."""
    return setting.visit_table or visit_table(setting.measured_kinds, setting.mark_kinds)


@dataclass(frozen=True, slots=True)
class Occasion:
    """Which visit it is: the instrument, the id within its history, and the day."""

    instrument: str
    visit_id: str
    day: date


def setting_for(setting: Setting, instrument: Instrument | None) -> Setting:
    """The setting with what an instrument says of itself: its compass and its pitch."""
    if instrument is None:
        return setting
    pitch = instrument.reference_hz
    return replace(
        setting,
        lowest=instrument.lowest_key,
        highest=instrument.highest_key,
        default_pitch=setting.default_pitch if pitch is None else float(pitch),
    )


def read_visit_text(
    text: str, file: str, occasion: Occasion, setting: Setting
) -> tuple[Visit | None, tuple[Diagnostic, ...]]:
    """Read one visit from its text, without the disk and without the notes around it.

    References to earlier problems and advice stay as they are written; `linking` resolves them.
    """
    findings = Findings()
    note = open_text(text, file, table_for(setting), findings)
    visit = None if note is None else read_visit(note, occasion, setting, findings)
    return visit, findings.all


def read_visit(
    note: Note, occasion: Occasion, setting: Setting, findings: Findings
) -> Visit | None:
    """Read one visit from an opened note."""
    setting = replace(setting, day=occasion.day)
    draft = read_fields(note.tree, table_for(setting), setting, findings)
    tables: Tables = {}
    passages = read_body(note.body, note.file, note.body_line, findings, tables)
    _put_tables(draft, tables, setting, findings)
    if not note.tree.pairs and not passages and not tables and not findings.gathered:
        findings.error(
            "empty-note",
            "The note says nothing.",
            Span(note.file),
            "Write one sentence below the second ---, or delete the file.",
        )
        return None
    return build_visit(draft, passages, Span(note.file), occasion, setting, findings)


def _put_tables(draft: Draft, tables: Tables, setting: Setting, findings: Findings) -> None:
    """The pitch as a table in the prose has it, where no key has it already."""
    for stage, (word, *lines) in tables.items():
        place = word.span()
        if stage in draft.values:
            findings.error(
                "pitch-two",
                f'"{stage}" has a value on line {draft.places[stage].line} already.',
                place,
                "Keep the key or the table.",
            )
        elif not any(line.text for line in lines):
            findings.error(
                "pitch-empty",
                "The table has no reading.",
                place,
                "Paste one note a line below it, as in A4 -3.2 or A4 441.2 Hz.",
            )
        else:
            draft.values[stage] = pasted_pitch(lines, stage, findings, setting.compass, place)
            draft.places[stage] = place


def build_visit(
    draft: Draft,
    passages: tuple[Passage, ...],
    span: Span,
    occasion: Occasion,
    setting: Setting,
    findings: Findings,
) -> Visit | None:
    """Make the record: give ids, turn frequencies into cents, and gather what keys share."""
    values = dict(draft.values)
    checked = values.pop("checked", ())
    cleared = (*values.pop("cleared", ()), *(one for one in checked if one != "all"))
    reference = values.get("reference_hz")
    hertz = setting.default_pitch if reference is None else float(reference)
    values["found"] = in_cents(values.get("found"), hertz)
    values["left"] = in_cents(values.get("left"), hertz)
    values["problems"] = _named(values.get("problems", ()), f"{occasion.visit_id}-")
    values["advice"] = _named(values.get("advice", ()), f"{occasion.visit_id}-advice-")
    return record(
        Visit,
        span,
        findings,
        id=occasion.visit_id,
        instrument=occasion.instrument,
        date=occasion.day,
        cleared=cleared,
        checked_all="all" in checked,
        passages=passages,
        places=draft.places,
        **values,
    )


def _named(found: tuple[_N, ...], prefix: str) -> tuple[_N, ...]:
    """Give each problem or advice without a slug an id that no other note has."""
    return tuple(
        one if one.id else replace(one, id=f"{prefix}{number}")
        for number, one in enumerate(found, 1)
    )
