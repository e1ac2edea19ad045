"""A chart's figures for a spreadsheet: all of them, with units, and nothing that it would run."""

from __future__ import annotations

import csv
import io
from dataclasses import replace

import pytest

from dossier.edition.figures import Drawn, MarkedKey
from dossier.render.figure_csv import figure_csv, file_name
from dossier.words import load
from tests.charts import samples

WORDS = load("en-GB")


def lines(drawn: Drawn) -> list[list[str]]:
    made = figure_csv(samples.figure("one", drawn), WORDS)
    return list(csv.reader(io.StringIO(made.decode("utf-8-sig"), newline="")))


@pytest.mark.parametrize(("name", "drawn"), samples.SAMPLES, ids=[n for n, _ in samples.SAMPLES])
def test_every_chart_has_a_file_with_rows_as_wide_as_its_header(name: str, drawn: Drawn) -> None:
    header, *rows = lines(drawn)
    assert all(header), name
    assert {len(row) for row in rows} <= {len(header)}
    assert len({tuple(row) for row in rows}) >= 1


def test_readings_stand_note_by_note_with_an_honest_minus() -> None:
    drawn = samples.along(
        samples.keys((49, -4.5)), samples.keys((49, 0.5)), samples.levels(-9, 1, 2)
    )
    made = figure_csv(samples.figure("one", drawn), WORDS)
    assert made.startswith(b"\xef\xbb\xbfdate,stage,note,register,cents from A4 = 440 Hz\r\n")
    assert lines(drawn)[1:] == [
        ["2026-03-14", "as found", "A4", "", "-4.5"],
        ["2026-03-14", "as found", "A0–A♯2", "bass", "-9"],
        ["2026-03-14", "as found", "B2–C5", "tenor", "1"],
        ["2026-03-14", "as found", "C♯5–C8", "treble", "2"],
        ["2026-03-14", "as left", "A4", "", "0.5"],
    ]


def test_a_target_stands_beside_each_figure_and_an_open_end_is_empty() -> None:
    header, row, *_ = lines(samples.TARGET_OPEN)
    assert header[-2:] == ["target from, N·m", "target to, N·m"]
    assert row[-2:] == ["5.6", ""]


@pytest.mark.parametrize(
    "text", ["=1+1", "+cmd|' /C calc'!A0", "@SUM(A1)", "\t=1", "-cmd|x", "\r=1"]
)
def test_no_text_is_a_formula(text: str) -> None:
    marks = (MarkedKey(text, 1, 1, text, True),)
    ((_, *cells),) = [
        [row[1], row[0], row[3]] for row in lines(replace(samples.MARKS, marks=marks))[1:]
    ]
    assert cells == [f"'{text}", f"'{text}"]


def test_a_file_has_a_plain_name_whatever_a_kind_is_called() -> None:
    assert file_name("measured-key-dip") == "measured-key-dip.csv"
    assert file_name("measured-../Höhe/..") == "measured--Höhe-.csv"
