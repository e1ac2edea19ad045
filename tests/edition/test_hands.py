"""After a change of hands: all the work and the measurements, and nothing of the person before."""

from __future__ import annotations

import io
import re
from dataclasses import dataclass, replace
from datetime import date
from textwrap import dedent

import pypdf
import pytest

from dossier.analysis.findings import analyse
from dossier.analysis.hands import theirs_since
from dossier.charts import LIGHT, draw, for_screen
from dossier.edition.declared import BENCH, OWNER, Edition
from dossier.edition.hands import handed_on, pictures
from dossier.edition.instrument_page import instrument_view, sentences
from dossier.edition.pages import InstrumentView
from dossier.edition.situation import situation
from dossier.edition.told import Told
from dossier.edition.voice import voice_of
from dossier.model import History
from dossier.render.calendar import calendar
from dossier.render.data import history_json
from dossier.render.html import instrument_page
from dossier.render.pdf import document
from dossier.theme import find_theme
from dossier.words import load
from tests.analysis.one_piano import dry_log, history
from tests.edition.test_leaks import FILES, NOTES, Aviary

WORDS = load("en-GB")
SOLD = "2025-06 sold, a private sale, to marsh"
STANDS = """
stands:
  - hall, since 2020, stove near, for the milliner
  - parlour, since 2025-06-20
provenance:
  - 1934 made
  - 2022-04 moved, to the milliner's
  - {line}
consent: raise on old wire, 2022-04-02, by the milliner
photo: pins.jpg
"""
FORMER = {
    "2025-03-01": NOTES["2025-03-01"],
    "2026-03-01": """
        ---
        fixed: buzz, shimmed
        found: 4 flat
        agreed: wall, gladly
        photos: lyre.jpg the lyre
        ---
        Welcome to the parlour.
        """,
}
MEDIA = {**FILES, "instruments/heron/media/lyre.jpg": "not looked into here"}
INSTRUMENT = "instruments/heron/instrument.md"


def bought(line: str = SOLD, notes: dict[str, str] = FORMER) -> History:
    plain = "---\nclient: marsh\ntitle: The heron upright\n---\n"
    text = plain.replace("\n---\n", dedent(STANDS).replace("{line}", line).rstrip() + "\n---\n")
    text = text.replace("upright", "upright\n", 1).replace("\n\n", "\n")
    files = {
        **MEDIA,
        "rooms/hall.md": "---\nname: the milliner's hall\nclient: school\n---\n",
        "rooms/hall/2025.csv": dry_log(date(2025, 1, 1), 40, 71),
        INSTRUMENT: text,
    }
    return history(notes, files=files)


def view_of(known: History, edition: Edition = OWNER) -> InstrumentView:
    found = analyse(known)
    voice = voice_of(known.shop, load(known.shop.locale))
    return instrument_view(
        edition, Told(known, found, situation(known, found, date(2026, 6, 1)), voice)
    )


def told(known: History) -> str:
    view = view_of(known)
    html = instrument_page(view, {}, {}, WORDS, find_theme())
    parts = (html, history_json(view), calendar(view, WORDS) or b"")
    return "\n".join([*(part.decode() for part in parts), *sentences(view, WORDS)])


@pytest.mark.parametrize(
    ("line", "since"),
    [
        ("2025-06-14 sold, to marsh", date(2025, 6, 14)),
        ("2025-06 sold, to marsh", date(2025, 7, 1)),
        ("2025 inherited, to marsh", date(2026, 1, 1)),
        ("2025-06/.. given, to marsh", date.max),
        ("2025-06 sold, to school", date.max),
        ("1936 sold, holder: a school", None),
    ],
)
def test_a_dated_line_says_since_when_it_is_theirs(line: str, since: date | None) -> None:
    assert theirs_since(bought(line).instrument) == since


def test_a_history_that_never_changed_hands_is_left_as_it_is() -> None:
    known = bought("1936 sold, holder: a school")
    assert handed_on(known) is known


def test_what_is_handed_on_stays_as_it_is() -> None:
    known = handed_on(bought())
    assert handed_on(known) == known


def test_the_work_and_the_measurements_stay() -> None:
    view = view_of(handed_on(bought()))
    first = next(visit for visit in view.visits if visit.anchor == "visit-2025-03-01")
    assert [fact.label for fact in first.facts][:2] == ["Air", "Target"]
    assert [line.text for line in first.work][1] == "Spliced D#1"
    assert first.measured is not None
    assert [problem.text for problem in view.problems] == ["It squeaks.", "It buzzes."]
    assert {figure.id for figure in view.measured_figures} == {
        "measured-key-dip",
        "measured-pin-torque",
    }


def test_nothing_of_the_person_before_is_told() -> None:
    page = told(handed_on(bought()))
    for text in (
        "For the owner",
        "milliner",
        "Move it",
        "nother lamp",
        "ladly",
        "the splice",
    ):
        assert text not in page
    assert "Welcome to the parlour." in page
    assert "A private sale." in page


def test_the_new_owner_sees_no_picture_of_the_time_before() -> None:
    known = bought()
    assert pictures(known) == {"pins.jpg", "lyre.jpg"}
    assert pictures(handed_on(known)) == {"lyre.jpg"}


def test_where_it_stood_before_has_no_name_and_no_air() -> None:
    known = handed_on(bought())
    assert [standing.room for standing in known.instrument.standings] == ["", "parlour"]
    assert list(known.rooms) == ["parlour"]
    assert all(log.seconds[0] >= 1751328000 for log in known.rooms["parlour"].logs if log.seconds)


def test_a_page_that_was_not_cut_is_refused() -> None:
    known = bought()
    with pytest.raises(ValueError, match=r"^heron changed hands: tell what is handed on$"):
        view_of(known)
    assert view_of(known, BENCH).visits[-1].passages


def test_a_line_to_someone_else_closes_all_that_was_written_for_them() -> None:
    page = told(handed_on(bought("2025-06 sold, to school")))
    assert "Welcome to the parlour." not in page
    assert "Spliced D#1" in page


# Of a visit to the person before: the technician's own work and findings
DECLARED = {
    "Visit.id", "Visit.technician", "Visit.unsafe", "Visit.safe",
    "Problem.text", "Work.text", "Work.by", "Work.irreversible", "Measured.qualifier",
}  # fmt: skip


@dataclass(frozen=True)
class Flight:
    """A sold instrument full of canaries; `former` are those of the visits and rooms before."""

    known: History
    aviary: Aviary
    former: frozenset[str]

    def leaks(self, published: str) -> set[str]:
        seen = set(re.findall(r"qz\d{5}xq|7\d{5}", re.sub(r"[,\s\u00ad-]", "", published.lower())))
        return {self.aviary.fields[canary] for canary in seen & self.former} - DECLARED


@pytest.fixture(scope="module")
def flight() -> Flight:
    known, aviary = bought(), Aviary()
    first, *later = known.visits
    before, hall = aviary.record(first), aviary.record(known.rooms["hall"])
    former = frozenset(aviary.fields)
    instrument = replace(
        known.instrument,
        standings=tuple(
            replace(standing, room=hall.id) if standing.room == "hall" else standing
            for standing in known.instrument.standings
        ),
        photo=before.photos[0].file,
    )
    full = replace(
        known,
        visits=(before, *map(aviary.record, later)),
        rooms={"parlour": known.rooms["parlour"], hall.id: hall},
        instrument=instrument,
    )
    return Flight(full, aviary, former)


@pytest.mark.audit
def test_no_canary_of_the_time_before_reaches_the_new_owner(flight: Flight) -> None:
    assert len(flight.former) > 40
    assert flight.leaks(told(handed_on(flight.known))) == set()


@pytest.mark.audit
def test_what_is_declared_does_reach_the_new_owner(flight: Flight) -> None:
    """A list that allows what is not shown would hide a leak later on."""
    page = told(handed_on(flight.known)).lower()
    shown = {flight.aviary.fields[one] for one in flight.former if one in page}
    assert DECLARED - shown == set()


@pytest.mark.audit
def test_the_search_finds_what_is_on_the_bench(flight: Flight) -> None:
    view = view_of(flight.known, BENCH)
    page = instrument_page(view, {}, {}, WORDS, find_theme()).decode()
    assert flight.leaks(page) >= {
        "Passage.markdown", "Follow.text", "Visit.private", "Visit.summary", "Visit.fee",
        "Work.price", "Advice.text", "Mark.remark", "Graded.remark", "Correction.text",
    }  # fmt: skip


@pytest.mark.audit
@pytest.mark.slow
def test_no_canary_of_the_time_before_is_in_the_document(flight: Flight) -> None:
    view = view_of(handed_on(flight.known))
    figures = (
        *view.pitch_figures, *view.air_figures, *view.mark_figures, *view.measured_figures,
    )  # fmt: skip
    charts = draw(figures, LIGHT, "print")
    made = document(view, charts, {}, WORDS, find_theme(), history_json(view))
    pdf = pypdf.PdfReader(io.BytesIO(made))
    texts = [page.extract_text() for page in pdf.pages]
    texts += [str(value) for value in (pdf.metadata or {}).values()]
    texts += [data.decode() for files in pdf.attachments.values() for data in files]
    texts += [for_screen(svg, LIGHT) for svg in charts.values()]
    assert flight.leaks("\n".join(texts)) == set()
