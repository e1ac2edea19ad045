"""Nothing reaches a reader but what the reader's edition declares.

Every text of every record gets a canary of its own, and every sum of money an amount of its own.
An edition's page, its data, its calendar, its charts and its document are then searched: what is
not on the short list of what its reader may read must not be found in any of them.  An edition
without a list may show nothing of the notes.
"""

from __future__ import annotations

import io
import re
import sys
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field, replace
from datetime import date
from decimal import Decimal
from typing import Any, Literal, TypeVar, get_origin, get_type_hints

import pypdf
import pytest
from PIL import Image

from dossier import model
from dossier.diagnostics import Span
from dossier.edition.declared import BENCH, EDITIONS, SALE, Edition
from dossier.edition.hands import handed_on, recordings
from dossier.edition.pages import InstrumentView
from dossier.edition.voice import voice_of
from dossier.model import History, Record
from dossier.publish.issued import IssuedManifest, sealed
from dossier.quantities import Money
from dossier.read.client import RELEASABLE
from dossier.render.calendar import calendar
from dossier.render.data import history_json
from dossier.render.html import instrument_page
from dossier.sites.issue import statement_files
from dossier.theme import find_theme
from dossier.words import load
from tests.analysis.one_piano import dry_log, notebook
from tests.edition.pages import page
from tests.recordings.samples import mp3

pytestmark = pytest.mark.audit

WORDS = load("en-GB")
R = TypeVar("R", bound=Record | History)

OWNER_READS = frozenset(
    {
        "Photo.caption of a recording",
        "Shop.name", "Shop.technician", "Shop.qualification", "Shop.phone", "Shop.email",
        "Shop.web", "Shop.address", "Shop.about", "Look.logo", "Look.letterhead",
        "Client.name",
        "Instrument.id", "Instrument.title", "Instrument.object_type", "Instrument.maker",
        "Instrument.model", "Instrument.age_known_from", "Instrument.serial_number",
        "Instrument.inventory_number", "Instrument.materials", "Instrument.measurements",
        "Instrument.inscriptions", "Instrument.features", "Instrument.subject",
        "Instrument.leave_below_pitch", "Instrument.about",
        "Event.text", "Event.holder", "Standing.heat", "Standing.remark", "Room.name",
        "Material.material", "Material.where", "Material.said_by", "Material.tested_by",
        "Material.tested_how", "OwnTarget.source", "EquipmentNote.text",
        "Visit.id", "Visit.technician", "Visit.reason", "Visit.unsafe", "Visit.safe",
        "Visit.summary", "Measured.qualifier", "Mark.remark", "Graded.remark", "Problem.text",
        "ProblemNews.text", "Work.text", "Work.irreversible", "Work.by", "Advice.text",
        "Advice.text, declined", "AdviceNews.text", "Follow.text", "Photo.caption",
        "Correction.text", "Passage.markdown",
    }
)  # fmt: skip

# What a buyer may read, with prose and pictures where they were released.
BUYER_READS = frozenset(
    {
        "Shop.name", "Shop.technician", "Shop.qualification", "Shop.phone", "Shop.email",
        "Shop.web", "Shop.address", "Look.logo", "Look.letterhead",
        "Client.relation",
        "Instrument.id", "Instrument.title", "Instrument.object_type", "Instrument.maker",
        "Instrument.model", "Instrument.age_known_from", "Instrument.serial_number",
        "Instrument.materials", "Instrument.measurements", "Instrument.inscriptions",
        "Instrument.features", "Instrument.subject", "Instrument.leave_below_pitch",
        "Event.text", "Event.source", "Event.holder",
        "Material.material", "Material.where", "Material.said_by", "Material.tested_by",
        "Material.tested_how", "OwnTarget.source", "Colleague.qualification",
        "Advice.text, declined", "Follow.text",
        "Visit.technician", "Visit.unsafe", "Visit.safe", "Measured.qualifier", "Mark.remark",
        "Graded.remark", "Problem.text", "ProblemNews.text", "Work.text", "Work.irreversible",
        "Work.by", "Correction.text",
    }
)  # fmt: skip
RELEASED = frozenset(
    {"Visit.reason", "Passage.markdown", "Photo.caption", "Photo.caption of a recording"}
)
INSURER_READS = BUYER_READS | {
    "Instrument.inventory_number", "Valuation.amount", "Valuation.by", "Valuation.purpose",
    "Valuation.basis",
}  # fmt: skip
READS: Mapping[str, frozenset[str]] = {
    "owner": OWNER_READS,
    "sale": BUYER_READS | RELEASED,  # the notes below are released for a sale alone
    "appraisal": INSURER_READS,
}
FOR_OTHERS = [edition for edition in EDITIONS if edition is not BENCH]
EACH = pytest.mark.parametrize("edition", FOR_OTHERS, ids=lambda edition: edition.name)

# Words of fixed lists and settings, which nobody can write a secret into
FIXED = frozenset(
    {
        "Shop.locale", "Shop.time_zone", "Shop.currency", "Look.accent", "Graded.component",
        "Graded.grade", "Mark.kind", "Cleared.kind", "Measured.kind", "OwnTarget.kind",
        "Problem.component", "Work.kind", "Work.component", "Instrument.wood",
        "Release.edition", "Release.what", "Photo.release", "Photo.shows", "Visit.release",
    }
)  # fmt: skip

# Fields by which records call one another: one canary a name, wherever it stands
NAMES: Mapping[str, str] = {
    "Client.id": "Client.id", "Instrument.client": "Client.id", "Room.client": "Client.id",
    "Event.client": "Client.id", "Instrument.id": "Instrument.id",
    "Visit.instrument": "Instrument.id", "Visit.id": "Visit.id", "Room.id": "Room.id",
    "Standing.room": "Room.id", "Event.room": "Room.id", "Problem.id": "Problem.id",
    "ProblemNews.problem": "Problem.id", "Advice.id": "Advice.id",
    "AdviceNews.advice": "Advice.id", "Visit.technician": "Visit.technician",
    "Colleague.name": "Visit.technician",
}  # fmt: skip


@dataclass
class Aviary:
    """The canaries that were set free, each with the field and the record it came from."""

    fields: dict[str, str] = field(default_factory=dict)
    names: dict[tuple[str, str], str] = field(default_factory=dict)
    declined: frozenset[str] = frozenset()
    came: frozenset[str] = frozenset()
    records: set[type] = field(default_factory=set)

    def new(self, where: str) -> str:
        canary = f"qz{len(self.fields):05d}xq"
        self.fields[canary] = where
        return canary

    def name(self, of: str, name: str) -> str:
        if (of, name) not in self.names:
            self.names[of, name] = self.new(of)
        return self.names[of, name]

    def amount(self, where: str) -> Decimal:
        amount = f"7{len(self.fields):05d}"
        self.fields[amount] = where
        return Decimal(amount)

    def value(self, value: Any, where: str) -> Any:
        if isinstance(value, Record | History):
            return self.record(value)
        if isinstance(value, Money):
            return replace(value, amount=self.amount(where))
        if isinstance(value, Span):
            return replace(value, file=self.new("Span.file"))
        if isinstance(value, tuple) and not hasattr(value, "_fields"):
            return tuple(self.value(item, where) for item in value)
        if isinstance(value, dict):
            return {key: self.value(item, where) for key, item in value.items()}
        return self.new(where) if isinstance(value, str) else value

    def record(self, record: R) -> R:
        """The record with a canary in every text, also where nothing was written."""
        kind = type(record)
        self.records.add(kind)
        told: dict[str, Any] = {}
        for name, annotation in get_type_hints(kind).items():
            where = f"{kind.__name__}.{name}{_aside(record)}{self.aside(record, name)}"
            value = getattr(record, name)
            if where in NAMES:
                told[name] = self.name(NAMES[where], value) if value else value
            elif f"{kind.__name__}.{name}" not in FIXED and get_origin(annotation) is not Literal:
                told[name] = self.value(value, where)
        return replace(record, **told)

    def aside(self, record: Record | History, name: str) -> str:
        """What else of the history decides who may read a field."""
        if isinstance(record, model.Advice) and name == "text" and record.id in self.declined:
            return ", declined"
        if isinstance(record, model.Colleague) and record.name not in self.came:
            return " of a stranger"
        return ""


def declined(visits: Iterable[model.Visit]) -> frozenset[str]:
    """The advice of which the last that was heard is a no."""
    last = {news.advice: news.what for visit in visits for news in visit.advice_news}
    return frozenset(advice for advice, what in last.items() if what == "declined")


def _aside(record: Record | History) -> str:
    """What else decides who may read a field."""
    if isinstance(record, model.Passage) and record.audience == "bench":
        return " of the bench"
    if isinstance(record, model.Photo) and record.kind != "picture":
        return " of a recording"
    return ""


NOTES = {
    "2025-03-01": """
        ---
        technician: x
        reason: x
        air: 20 °C, 32 %
        pitch: A4 = 435 Hz
        found: A1 -8, A4.1 -6, A4.2 -9
        left: on pitch
        loose pins: C5-E5 remark
        key dip: A1 10.2 mm
        pin torque: A1 5 N·m turning up
        problem:
          - what: it buzzes
            slug: buzz
            component: keys
          - it squeaks
        work:
          - tuning, 85 EUR
          - repair: spliced D#1
            price: 40 EUR
            parts: 6.50 EUR
            by: x
            irreversible: x
        advice:
          - (wall) move it, before October
          - (lamp) another lamp
          - (cloth) a cover
        condition:
          keys: fair, remark
        humidity equipment: fitted, next service October
        unsafe: x
        next: check the splice, 4-8 weeks
        photos:
          - file: pins.jpg
            caption: x
            release: sale
        audio:
          - file: bass.mp3
            caption: x
            release: sale
        fee: 30 EUR
        summary: x
        corrected: 2025-03-02 x
        release: sale
        private: x
        ---
        For the owner.

        ::: bench
        For the bench.
        :::
    """,
    "2026-03-01": """
        fixed: buzz, x
        agreed: wall, x
        declined: cloth, x
        clear: loose pins
        safe: x
        next: check the splice, 4-8 weeks
    """,
}
FILES = {
    "learned.md": (
        "---\nlearned: 2025-01-01\ninstruments: 4\nhumidity response: 4.5, 2, 0.9\n"
        "slow fall: -2, 1.5, 0.8\nsettling share: 0.2, 0.09, 0.06\nerror: 2.5\n---\n"
    ),
    "instruments/heron/media/pins.jpg": "not looked into here",
    "instruments/heron/media/bass.mp3": "not looked into here",
    "instruments/heron/scale.csv": "note,length_mm,diameter_mm\nA4,400,1.0\n",
    "rooms/parlour/2025.csv": dry_log(date(2025, 1, 1), 30, 40),
    "clients/school.md": "---\nname: Pond Street School\n---\n",
    "rooms/hall.md": "---\nname: the hall\nclient: school\n---\n",
    "instruments/wren/instrument.md": "---\nclient: school\ntitle: Wren\nstands: hall\n---\n",
    "instruments/wren/visits/2025-04-01.md": "---\nwork: tuning\nproblem: x\n---\nProse.\n",
    "instruments/lark/instrument.md": "---\nclient: marsh\ntitle: Lark\nstands: parlour\n---\n",
    "instruments/lark/visits/2025-04-01.md": "---\nwork: tuning\nproblem: x\n---\nProse.\n",
}
INSTRUMENT = """
made: 1934
controlled materials: ivory, keytops, said by x, tested by x, x, 2024
consent: raise on old wire, 2022-04-02, by x
valued: 2024-05-02, 12000 EUR, for x, basis x, by x
targets:
  key dip: 9.8-10.2 mm
provenance:
  - when: 1911
    kind: made
    text: x
  - when: 1912~
    kind: sold
    text: x
    source: x
    holder: x
    client: marsh
    room: parlour
"""
COLLEAGUES = "colleagues:\n  - x, trained\n  - y, trained elsewhere\n"
CLIMATE = "climate:\n" + "\n".join(
    f"  {month}: 5 °C, 80 %"
    for month in (
        "january", "february", "march", "april", "may", "june", "july", "august", "september",
        "october", "november", "december",
    )
)  # fmt: skip


@dataclass(frozen=True)
class Flight:
    """A history full of canaries, beside two of other instruments; `own` are the first one's."""

    heron: History
    aviary: Aviary
    own: frozenset[str]

    def leaks(self, published: str, may: frozenset[str] = OWNER_READS) -> dict[str, str]:
        """The canaries that a reader must not read, with the field that each came from."""
        return {
            canary: where
            for canary, where in self.found(published).items()
            if where not in may or canary not in self.own
        }

    def found(self, published: str) -> dict[str, str]:
        """Every canary in a text, however it is capitalised, grouped or hyphenated."""
        seen = set(re.findall(r"qz\d{5}xq|7\d{5}", re.sub(r"[,\s\u00ad-]", "", published.lower())))
        return {canary: self.aviary.fields[canary] for canary in seen & self.aviary.fields.keys()}


def set_free(shop: str, client: str = "relation: x\nrelease:\n  sale: costs") -> Flight:
    shop = f"{shop}\n{COLLEAGUES}{CLIMATE}"
    read = notebook(NOTES, instrument=INSTRUMENT, shop=shop, client=client, files=FILES)
    aviary = Aviary()
    own = _canaried(read.history("heron"), aviary)
    mine = frozenset(aviary.fields)
    for other in ("lark", "wren"):
        _canaried(read.history(other), aviary)
    return Flight(own, aviary, mine)


def _canaried(history: History, aviary: Aviary) -> History:
    aviary.declined = declined(history.visits)
    aviary.came = frozenset(visit.technician for visit in history.visits)
    rooms = [aviary.record(room) for room in history.rooms.values()]
    return History(
        shop=aviary.record(history.shop),
        client=aviary.record(history.client),
        instrument=aviary.record(history.instrument),
        visits=tuple(aviary.record(visit) for visit in history.visits),
        rooms={room.id: room for room in rooms},
    )


def written(view: InstrumentView) -> str:
    """The page, its data and its calendar as one text."""
    html = instrument_page(view, {}, {}, WORDS, find_theme())
    return "\n".join(
        part.decode() for part in (html, history_json(view), calendar(view, WORDS) or b"")
    )


@pytest.fixture(scope="module")
def flight() -> Flight:
    return set_free("show costs: no", "relation: x")


@EACH
def test_no_canary_reaches_a_reader_but_those_on_the_list(flight: Flight, edition: Edition) -> None:
    may = READS.get(edition.name, frozenset())
    for today in ("2026-03-02", "2026-06-01", "2027-06-01"):
        assert flight.leaks(written(page(flight.heron, today, edition)), may) == {}


@EACH
def test_every_field_on_the_list_does_reach_its_reader(flight: Flight, edition: Edition) -> None:
    """A list that allows what is not shown would hide a leak later on."""
    shown = set(flight.found(written(page(flight.heron, edition=edition))).values())
    assert READS[edition.name] - shown == set()


def test_the_search_finds_what_the_bench_may_read(flight: Flight) -> None:
    leaks = set(flight.leaks(written(page(flight.heron, edition=BENCH))).values())
    assert leaks >= {
        "Client.phone", "Client.email", "Client.address", "Client.access", "Client.contact",
        "Client.private", "Instrument.private", "Room.private", "Visit.private",
        "Passage.markdown of the bench", "Work.price", "Visit.fee", "Span.file",
    }  # fmt: skip


def test_costs_reach_the_owner_only_where_they_are_shown(flight: Flight) -> None:
    hidden = set(flight.found(written(page(flight.heron))).values())
    assert not [where for where in hidden if where in {"Work.price", "Work.parts", "Visit.fee"}]
    shown = set_free("show costs: yes")
    sums = set(shown.leaks(written(page(shown.heron))).values())
    assert sums == {"Work.price", "Visit.fee"}


# What each word of a client's file adds to a statement
ADDED: Mapping[str, frozenset[str]] = {
    "owner": frozenset({"Client.name"}),
    "costs": frozenset({"Work.price", "Visit.fee"}),
    "room": frozenset({"Room.name", "Standing.heat", "Standing.remark"}),
    "address": frozenset({"Client.address"}),
    "contact": frozenset({"Client.contact", "Client.phone", "Client.email"}),
}
STATEMENTS = [edition for edition in EDITIONS if "statement" in edition.shows]


@pytest.mark.parametrize("edition", STATEMENTS, ids=lambda edition: edition.name)
@pytest.mark.parametrize("word", RELEASABLE)
def test_what_the_client_releases_is_shown_in_that_edition_alone(
    edition: Edition, word: str
) -> None:
    free = set_free("show costs: yes", f"relation: x\nrelease:\n  {edition.name}: {word}")
    for other in STATEMENTS:
        leaks = free.leaks(written(page(free.heron, edition=other)), READS[other.name])
        assert set(leaks.values()) == (ADDED[word] if other is edition else set())


def test_prose_and_pictures_stand_in_no_statement_that_they_were_not_released_for(
    flight: Flight,
) -> None:
    for edition in STATEMENTS:
        shown = set(flight.found(written(page(flight.heron, edition=edition))).values())
        assert shown & RELEASED == (RELEASED if edition is SALE else set())


def test_another_piano_of_the_same_client_stays_out(flight: Flight) -> None:
    others = flight.aviary.fields.keys() - flight.own
    assert len(others) > 50
    assert not others & flight.found(written(page(flight.heron))).keys()


def records() -> Iterator[type[Record]]:
    """Every kind of record, by its name: the class that it was made from stands there too."""
    waiting: list[type[Record]] = [Record]
    while waiting:
        for kind in waiting.pop().__subclasses__():
            module = sys.modules[kind.__module__]
            if kind.__module__.startswith("dossier.model"):
                yield getattr(module, kind.__name__)
            waiting.append(kind)


def test_every_kind_of_record_was_searched() -> None:
    """A new record belongs into the notes above."""
    assert set(records()) - set_free("show costs: no").aviary.records == set()


class AnyMedium(dict[str, bytes]):
    """Every file of every name is one small picture, those of recordings a sound."""

    def __init__(self, history: History) -> None:
        super().__init__()
        self.heard = recordings(history)

    def __missing__(self, name: str) -> bytes:
        if name.rpartition("/")[2] in self.heard:
            return mp3()
        made = io.BytesIO()
        Image.new("RGB", (8, 8), "white").save(made, "PNG")
        return made.getvalue()


@pytest.mark.slow
@pytest.mark.parametrize("edition", STATEMENTS, ids=lambda edition: edition.name)
def test_no_canary_reaches_any_byte_or_name_of_what_is_issued(
    flight: Flight, edition: Edition
) -> None:
    known = handed_on(flight.heron)
    shown = page(flight.heron, edition=edition)
    files = statement_files(shown, known, find_theme(), AnyMedium(known))
    manifest = IssuedManifest(
        instrument=flight.heron.instrument.id, edition=edition.name, issued="2026-06-01",
        number=1, program="dossier", files={},
    )  # fmt: skip
    whole = sealed(manifest, files)
    pdf = pypdf.PdfReader(io.BytesIO(whole["statement.pdf"]))
    printed = [text.extract_text() for text in pdf.pages]
    told = [*whole, *(data.decode("latin-1") for data in whole.values()), *printed]
    told += [str(value) for value in (pdf.metadata or {}).values()]
    told += [data.decode() for held in pdf.attachments.values() for data in held]
    told += [str(entry.get_object()) for at in pdf.pages for entry in at.get("/Annots", ())]
    assert flight.leaks("\n".join(told), READS[edition.name]) == {}
    assert {"Instrument.title", "Work.text", "Client.relation"} <= set(
        flight.found("\n".join(printed)).values()
    )


@pytest.mark.slow
def test_no_canary_reaches_the_owners_charts_or_document(flight: Flight) -> None:
    from dossier.charts import LIGHT, draw, for_screen
    from dossier.charts.explorable import charts as explored
    from dossier.edition.card import card_view
    from dossier.render.card import card
    from dossier.render.figure_csv import figure_csv, file_name
    from dossier.render.pdf import document

    view = page(flight.heron)
    figures = (
        *view.pitch_figures, *view.air_figures, *view.mark_figures, *view.measured_figures,
        *view.cost_figures,
    )  # fmt: skip
    charts = draw(figures, LIGHT, "print")
    made = document(view, charts, {}, WORDS, find_theme(), history_json(view))
    pdf = pypdf.PdfReader(io.BytesIO(made))
    told = [text.extract_text() for text in pdf.pages]
    voice = voice_of(flight.heron.shop, WORDS)
    left = card(card_view(view, flight.heron, voice, "k"), WORDS, find_theme())
    told += [text.extract_text() for text in pypdf.PdfReader(io.BytesIO(left)).pages]
    told += [str(value) for value in (pdf.metadata or {}).values()]
    told += [data.decode() for files in pdf.attachments.values() for data in files]
    told += [for_screen(svg, LIGHT) for svg in charts.values()]
    told += explored(figures, voice.form).values()
    told += [figure_csv(figure, WORDS).decode() + file_name(figure.id) for figure in figures]
    assert flight.leaks("\n".join(told)) == {}
    assert {"Instrument.title", "Work.text", "Passage.markdown"} <= set(
        flight.found("\n".join(told[: len(pdf.pages)])).values()
    )
