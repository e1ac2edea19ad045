"""A figure on the page can be followed by hand to the line of the note that holds it."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

import pytest

from dossier.edition.pages import InstrumentView
from dossier.edition.view import canonical
from dossier.model import History, Notebook, Visit
from tests.edition.pages import page, plain_spaces

TODAY = "2026-11-25"


@dataclass(frozen=True)
class Traced:
    """A figure as the page shows it, and the line that the page names for it."""

    instrument: str
    day: str
    what: str
    shown: str
    line: int
    written: str

    def stands(self) -> bool:
        """Whether the line holds every number that is shown, and the note that is named."""
        numbers = {float(number) for number in NUMBER.findall(plain_spaces(self.shown))}
        note = self.what.replace("♯", "#")
        named = not re.fullmatch(r"[A-G]#?\d", note) or note.lower() in self.written.lower()
        return named and numbers <= set(_figures(self.written))


NUMBER = re.compile(r"\d+(?:\.\d+)?")


def _figures(written: str) -> Iterator[float]:
    """The numbers of a line as the page shows them: what was written in °F, inches or inch-pounds
    is shown in the shop's units.  1 in = 25.4 mm; 1 in·lb = 0.112985 N·m (NIST SP 811)."""
    yield from (float(number) for number in NUMBER.findall(written))
    for number in re.findall(r"([\d.]+) °F", written):
        yield round((float(number) - 32) * 5 / 9, 1)
    for number in re.findall(r"([\d.]+) in-lb", written):
        yield round(float(number) * 0.112985, 2)
    for above, below in re.findall(r"(\d+)/(\d+) in\b", written):
        yield round(int(above) / int(below) * 25.4, 2)


def traces(demo: Notebook, content: Path) -> Iterator[Traced]:
    for slug in demo.instruments:
        history = demo.history(slug)
        view = page(history, TODAY)
        yield from _visit_traces(slug, history, view, content)
        yield from _chart_traces(slug, history, view, content)


def _line(content: Path, visit: Visit, line: int) -> str:
    return (content / visit.span.file).read_text("utf-8").splitlines()[line - 1]


def _visit_traces(
    slug: str, history: History, view: InstrumentView, content: Path
) -> Iterator[Traced]:
    """The facts and the measured figures of each visit."""
    visits = {f"visit-{visit.id}": visit for visit in history.visits}
    for shown in view.visits:
        visit = visits[shown.anchor]
        for fact in shown.facts:
            if found := re.fullmatch(r"note, line (\d+)", fact.source):
                line = int(found[1])
                yield Traced(
                    slug, visit.id, fact.label, fact.value, line, _line(content, visit, line)
                )
        for _, figures, _, where in shown.measured.rows if shown.measured else ():
            line = int(where.removeprefix("line "))
            for told in plain_spaces(figures).split("; "):
                note, _, figure = f"whole: {told}".rpartition(": ")
                note = note.removeprefix("whole: ")
                yield Traced(slug, visit.id, note, figure, line, _line(content, visit, line))


def _chart_traces(
    slug: str, history: History, view: InstrumentView, content: Path
) -> Iterator[Traced]:
    """The readings under the picture from bass to treble: those of its day."""
    for figure in view.pitch_figures:
        if figure.id != "pitch-along":
            continue
        day = figure.basis.rpartition(", ")[2]
        visit = next(
            visit
            for visit in reversed(history.visits)
            if visit.found and visit.found.readings and _told(view, visit) == day
        )
        for note, cents, _, where in figure.table.rows:
            line = int(where.removeprefix("line "))
            yield Traced(slug, visit.id, note, cents, line, _line(content, visit, line))


def _told(view: InstrumentView, visit: Visit) -> str:
    return next(v.when_text for v in view.visits if v.anchor == f"visit-{visit.id}")


@pytest.fixture(scope="module")
def found(demo: Notebook, repo: Path) -> tuple[Traced, ...]:
    return tuple(traces(demo, repo / "content"))


# Read off the notes by hand: what the page shows, and the words of the line that it names
TEN = (
    ("heron", "2026-10-10", "Air", "19.5 °C, 55 % relative humidity", "air: 19.5 °C, 55 %"),
    ("heron", "2026-10-10", "A3", "+10 cents", "found: A1 +5, A2 +7, A3 +10, A4 +9, A5 +8, A6 +6"),
    ("heron", "2026-10-10", "A6", "+6 cents", "found: A1 +5, A2 +7, A3 +10, A4 +9, A5 +8, A6 +6"),
    ("curlew", "2026-10-17", "Air", "21 °C, 44 % relative humidity", "air: 21 °C, 44 %"),
    ("curlew", "2026-10-17", "A1", "10.2 mm", "key dip: A1 10.2 mm, A4 10.0 mm, A6 9.9 mm"),
    ("curlew", "2026-10-17", "A4", "2.5 mm", "let-off: A1 3 mm, A4 2.5 mm, A6 2 mm"),
    ("curlew", "2026-10-17", "whole", "46 mm", "blow: 46 mm"),
    ("curlew", "2026-10-17", "A4", "16 mm", "checking: A4 16 mm"),
    ("curlew", "2026-10-17", "C5, string 2", "0.7 mm", "  - C5.2 0.7 mm by gauge"),
    (
        "curlew",
        "2026-10-17",
        "D5, string 1",
        "6.8 N·m",
        (
            "pin torque: B4.2 6.9 N·m turning up, C5.3 6.6 N·m turning up, D5.1 6.8 N·m "
            "turning up, A2 8.1 N·m turning up"
        ),
    ),
)


@pytest.mark.parametrize(("instrument", "day", "what", "shown", "written"), TEN)
def test_ten_figures_are_followed_by_hand(
    found: tuple[Traced, ...], instrument: str, day: str, what: str, shown: str, written: str
) -> None:
    lines = [
        trace.written
        for trace in found
        if (trace.instrument, trace.day, trace.what, plain_spaces(trace.shown))
        == (instrument, day, what, shown)
    ]
    assert lines == [written]


def test_every_figure_that_names_a_line_stands_on_it(found: tuple[Traced, ...]) -> None:
    """But for levels, which are worked out from the readings on theirs."""
    figures = [trace for trace in found if trace.what not in {"Found", "Left"}]
    assert len(figures) > 100
    assert [trace for trace in figures if not trace.stands()] == []


def test_a_level_names_the_line_of_its_readings(found: tuple[Traced, ...]) -> None:
    levels = [trace for trace in found if trace.what in {"Found", "Left"}]
    assert len(levels) > 20
    wrong = [
        trace
        for trace in levels
        if not re.match(rf"{trace.what}:|\s*-|\||(?:[A-G][#b]?\d)", trace.written, re.IGNORECASE)
    ]
    assert wrong == []


def test_the_owners_page_names_lines_and_never_a_path(demo: Notebook) -> None:
    """A folder's name can hold a client's."""
    for slug in demo.instruments:
        assert ".md" not in canonical(page(demo.history(slug), TODAY))
        assert "instruments/" not in canonical(page(demo.history(slug), TODAY))
