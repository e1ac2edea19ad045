"""A note that is begun from what is known: what it offers, and that all of it can be used."""

from __future__ import annotations

import re
from datetime import date
from pathlib import Path

import pytest

from dossier.desk.files import DeskError, free_name, move_new, write_new
from dossier.desk.known import usual_notes
from dossier.desk.lines import number, scalar, without_offers
from dossier.desk.visit import known_of, visit_note, visit_path
from dossier.read import read_notebook
from dossier.read.pieces import Findings
from dossier.read.yaml_nodes import Scalar, compose
from tests.desk import shop

NOTE = Path(__file__).with_name("heron-note.md").read_text("utf-8")


def errors(content: Path, today: date = shop.TODAY) -> list[str]:
    _, found = read_notebook(content, today)
    return [str(one) for one in found if one.severity.name != "INFO"]


def write_visit(content: Path, text: str) -> Path:
    path = visit_path(content, "heron", shop.TODAY)
    write_new(path, text)
    return path


def test_a_new_note_offers_all_that_is_open(tmp_path: Path) -> None:
    assert visit_note(shop.known(shop.write(tmp_path))) == NOTE


def test_untouched_it_says_nothing_and_one_sentence_makes_it_a_note(tmp_path: Path) -> None:
    content = shop.write(tmp_path)
    path = write_visit(content, NOTE)
    (told,) = errors(content)
    assert told == (
        "instruments/heron/visits/2026-06-01.md:1:1: error: The note says nothing. "
        "Write one sentence below the second ---, or delete the file."
    )
    path.write_text(f"{NOTE}Tuned.\n", "utf-8")
    assert errors(content) == []


def offers() -> list[str]:
    """Each key that is offered, with the lines below it."""
    front = NOTE.split("---\n")[1]
    return re.findall(r"^#[^ #].*\n(?:#  .*\n)*", front, re.MULTILINE)


FILLED = {
    "air:  °C,  %": "air: 18 °C, 50 %",
    "found: A1 , A3 , A4\n": "found: A1 +2, A3 0, A4 -1\n",
    "key dip: A1  mm, A4  mm": "key dip: A1 10 mm, A4 10.1 mm",
}


@pytest.mark.parametrize("offer", offers(), ids=lambda offer: offer.split("\n")[0])
def test_each_offer_can_be_used_by_taking_its_mark_off(tmp_path: Path, offer: str) -> None:
    content = shop.write(tmp_path)
    used = re.sub(r"^#", "", offer, flags=re.MULTILINE)
    for empty, full in FILLED.items():
        used = used.replace(empty, full)
    write_visit(content, NOTE.replace(offer, used))
    assert errors(content) == []


def test_all_offers_but_those_that_contradict_can_be_used_at_once(tmp_path: Path) -> None:
    assert len(offers()) == 18
    content = shop.write(tmp_path)
    text = NOTE
    for offer in offers():
        if offer.startswith(("#watched", "#declined", "#done", "#sticking", "#loose")):
            continue
        used = re.sub(r"^#", "", offer, flags=re.MULTILINE)
        for empty, full in FILLED.items():
            used = used.replace(empty, full)
        text = text.replace(offer, used)
    write_visit(content, text)
    assert errors(content) == []
    visit = shop.notebook(content).visits["heron"][-1]
    assert [news.problem for news in visit.problem_news] == ["2025-03-01-1", "2025-03-01-2"]
    assert [news.advice for news in visit.advice_news] == ["wall"]
    assert [cleared.kind for cleared in visit.cleared] == ["sticking keys", "loose pins"]


def test_a_note_for_a_telephone_names_its_instrument_and_day(tmp_path: Path) -> None:
    content = shop.write(tmp_path)
    text = visit_note(shop.known(content), loose=True)
    assert text.startswith("---\ninstrument: heron\ndate: 2026-06-01\n# The heron upright")
    write_new(content / "inbox" / "anything.md", f"{text}Tuned.\n")
    assert errors(content) == []
    assert shop.notebook(content).visits["heron"][-1].date == shop.TODAY


def test_a_first_visit_is_offered_notes_through_the_compass(tmp_path: Path) -> None:
    note = visit_note(shop.known(shop.write(tmp_path), "wren"))
    assert "# No visit has been written down yet.\n" in note
    assert "#found: A1 , A2 , A3 , A4 , A5 , A6\n" in note
    assert "not examined" not in note


def test_the_notes_that_most_visits_read_are_the_usual_ones(tmp_path: Path) -> None:
    assert usual_notes(shop.known(shop.write(tmp_path)).history) == ("A1", "A3", "A4")


def test_only_what_was_known_on_the_day_of_the_visit_is_told(tmp_path: Path) -> None:
    read = shop.notebook(shop.write(tmp_path))
    note = visit_note(known_of(read, "heron", date(2025, 1, 1)))
    assert "# Last 2024-03-02\n" in note
    assert "buzzes" not in note


def test_what_stands_against_the_instrument_leads(tmp_path: Path) -> None:
    text = shop.HERON["instruments/heron/instrument.md"]
    content = shop.write(
        tmp_path,
        {
            "instruments/heron/instrument.md": text.replace(
                "interval", "reference pitch: A4 = 435 Hz\nleave below pitch: old wire\ninterval"
            ),
            "instruments/heron/visits/2026-03-01.md": "---\nunsafe: rear leg loose\n---\nx\n",
        },
    )
    lines = visit_note(shop.known(content)).split("\n")
    assert lines[7:11] == [
        "# UNSAFE since 2026-03-01: rear leg loose",
        "#safe: ",
        "# Leave below pitch: old wire",
        "# Its pitch is A4 = 435 Hz",
    ]


def test_two_problems_alike_are_named_so_that_each_means_one(tmp_path: Path) -> None:
    extra = "---\nproblem: G4 buzzes when played hard\n---\nx\n"
    content = shop.write(tmp_path, {"instruments/heron/visits/2026-02-01.md": extra})
    note = visit_note(shop.known(content))
    assert "#  - 2025-03-01 G4 buzzes when played hard\n" in note
    assert "#  - 2026-02-01 G4 buzzes when played hard\n" in note


def test_an_unknown_instrument_is_refused_with_the_nearest(tmp_path: Path) -> None:
    read = shop.notebook(shop.write(tmp_path))
    with pytest.raises(DeskError) as refused:
        known_of(read, "hern", shop.TODAY)
    assert str(refused.value) == "There is no instrument hern that can be read. Did you mean heron?"


def test_a_second_note_of_a_day_has_a_name_of_its_own(tmp_path: Path) -> None:
    content = shop.write(tmp_path)
    names = [write_visit(content, "x\n").name for _ in range(3)]
    assert names == ["2026-06-01.md", "2026-06-01-2.md", "2026-06-01-3.md"]
    assert free_name(shop.TODAY, {"2026-06-01-evening"}) == "2026-06-01"


def test_nothing_is_ever_overwritten(tmp_path: Path) -> None:
    path, other = tmp_path / "a.md", tmp_path / "b.md"
    path.write_text("mine", "utf-8")
    other.write_text("other", "utf-8")
    with pytest.raises(DeskError, match="is there already, and nothing is overwritten"):
        write_new(path, "x")
    with pytest.raises(DeskError, match="is there already, and nothing is overwritten"):
        move_new(other, path)
    assert (path.read_text("utf-8"), other.read_text("utf-8")) == ("mine", "other")


def test_what_was_offered_and_not_used_is_taken_out_and_nothing_else() -> None:
    begun = "---\n# told\n\n#found: A1 \n#left: on pitch\n---\n\n"
    written = "---\n# told\n# my own\n\n#found: A1 , A4 \nleft: on pitch\n---\n\n# A heading\n"
    assert without_offers(written, begun) == (
        "---\n# my own\n#found: A1 , A4 \nleft: on pitch\n---\n\n# A heading\n"
    )
    assert without_offers("No front matter.\n# told\n", begun) == "No front matter.\n# told\n"


@pytest.mark.parametrize(
    "text",
    ["plain", "D#1 buzzes", "a: b", "#5", "- x", "x #5", "he said: \"no\"", "null", "ends:", "[x]",
     "50 % off", "’quoted’", "*bold*", "a\\b: c"],
)  # fmt: skip
def test_a_text_is_the_same_after_yaml_has_read_it(text: str) -> None:
    findings = Findings()
    tree = compose(f"key: {scalar(text)}", "x.md", 1, findings)
    assert tree is not None
    ((_, node),) = tree.pairs
    assert isinstance(node, Scalar)
    assert (node.piece.text, node.empty, findings.all) == (text, False, ())


def test_a_figure_has_no_needless_zeros() -> None:
    from decimal import Decimal

    assert [number(Decimal(text), sign=True) for text in ("6.00", "-3.50", "0", "100")] == [
        "+6", "-3.5", "0", "+100",
    ]  # fmt: skip
