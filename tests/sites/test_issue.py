"""A statement from the notes to its folder: issued once, never where it should not be."""

from __future__ import annotations

import json
import re
from dataclasses import replace
from datetime import date
from pathlib import Path

import pytest
from click.testing import CliRunner

from dossier.cli import main
from dossier.sites.issue import IssueError, IssueRequest, issue
from tests.build.small_shop import VISIT, Shop, small_shop
from tests.publish.shop import files

pytestmark = pytest.mark.slow
DAY = date(2026, 6, 1)


@pytest.fixture
def shop(tmp_path: Path) -> Shop:
    return small_shop(tmp_path)


def request(shop: Shop, edition: str = "sale", instrument: str = "heron") -> IssueRequest:
    return IssueRequest(shop.content, shop.out, shop.state, DAY, instrument, edition)


def test_a_statement_gets_a_folder_of_its_own(shop: Shop) -> None:
    outcome = issue(request(shop))
    assert outcome.findings == ()
    assert outcome.folder == shop.out / "issued" / "heron-sale-2026-06-01"
    assert (outcome.number, outcome.before) == (1, "")
    found = files(outcome.folder)
    told = json.loads(found["manifest.json"])
    assert [told[key] for key in ("instrument", "edition", "issued", "number")] == [
        "heron", "sale", "2026-06-01", 1,
    ]  # fmt: skip
    assert {"index.html", "statement.pdf", "history.json"} <= told["files"].keys()
    page = found["index.html"].decode()
    assert '<meta name="robots" content="noindex, nofollow, noarchive">' in page
    assert "The Marshes of Eel Lane" not in "".join(
        data.decode("latin-1") for data in found.values()
    )


def test_each_chart_has_its_figures_beside_it_for_a_spreadsheet(shop: Shop) -> None:
    folder = issue(request(shop)).folder
    assert folder is not None
    found = files(folder)
    tables = sorted(path for path in found if path.endswith(".csv"))
    assert "figures/pitch-along.csv" in tables
    assert tables == sorted(set(re.findall(r'figures/[^"]*', found["index.html"].decode())))
    assert set(tables) <= json.loads(found["manifest.json"])["files"].keys()
    rows = found["figures/pitch-along.csv"].decode("utf-8-sig").splitlines()
    assert next(row for row in rows if ",A4," in row).endswith(",-6.0")


def test_the_same_notes_of_the_same_day_give_the_same_bytes(shop: Shop, tmp_path: Path) -> None:
    here = issue(request(shop)).folder
    there = issue(replace(request(shop), out=tmp_path / "other")).folder
    assert here is not None
    assert there is not None
    assert files(here) == files(there)


def test_a_later_one_says_what_differs_and_leaves_the_first_alone(shop: Shop) -> None:
    first = issue(request(shop)).folder
    assert first is not None
    before = files(first)
    shop.says(VISIT, "work: tuning\n", "work: tuning\nproblem: a damper squeaks\n")
    outcome = issue(request(shop))
    assert outcome.folder == shop.out / "issued" / "heron-sale-2026-06-01-2"
    assert (outcome.number, outcome.before) == (2, "heron-sale-2026-06-01")
    assert files(first) == before
    history = json.loads(files(outcome.folder)["history.json"])["history"]
    (differs,) = [one for one in history["statement"]["parts"] if one["id"] == "differs"]
    assert "A damper squeaks." in str(differs["tables"][0]["rows"])


def test_a_build_does_not_touch_what_was_issued(shop: Shop) -> None:
    folder = issue(request(shop)).folder
    assert folder is not None
    before = files(folder)
    shop.good()
    assert files(folder) == before


@pytest.mark.parametrize(
    ("path", "text", "message"),
    [
        (
            VISIT,
            "---\nfound: H4 +2\n---\nTuned.\n",
            f'{VISIT}:2:8: error: "H4" is not a note name. Did you mean B4?',
        ),
        (
            VISIT,
            "---\nhold: yes\nwork: tuning\n---\n",
            (
                f"{VISIT}:2:7: error: heron is on hold, and nothing of it is handed out. "
                "Take hold out of the note, and issue again."
            ),
        ),
        (
            VISIT,
            "---\nproblem: The Marshes of Eel Lane hear a buzz\n---\n",
            (
                f'{VISIT}:2:10: error: "The Marshes of Eel Lane" is the client\'s own name, and '
                "the statement would show it. Write it by role, such as the owner, or release it "
                "in the client's file."
            ),
        ),
        ("clients/marsh.md", "---\nname: x\nstatus: gone\n---\n", "clients/marsh.md:3:9: error:"),
    ],
)
def test_what_is_wrong_in_the_notes_stops_it(
    shop: Shop, path: str, text: str, message: str
) -> None:
    shop.write(path, text)
    outcome = issue(request(shop))
    assert outcome.folder is None
    assert [str(one) for one in outcome.findings if str(one).startswith(message)]
    assert not (shop.out / "issued").exists()


def test_what_is_wrong_with_another_instrument_does_not_stop_it(shop: Shop) -> None:
    shop.write("instruments/wren/visits/2026-02-02.md", "---\nfound: H4 +2\n---\n")
    outcome = issue(request(shop))
    assert outcome.folder is not None
    assert outcome.findings == ()


@pytest.mark.parametrize(
    ("edition", "instrument", "message"),
    [
        (
            "owner",
            "heron",
            (
                "The owner’s page is not issued: it stands at a private link, and dossier build "
                "makes it. Issue sale or appraisal."
            ),
        ),
        ("gift", "heron", "There is no edition “gift” to issue. Issue sale or appraisal."),
        ("sale", "heronn", "There is no instrument “heronn”. Did you mean heron?"),
    ],
)
def test_what_cannot_be_issued_is_told(
    shop: Shop, edition: str, instrument: str, message: str
) -> None:
    with pytest.raises(IssueError) as error:
        issue(request(shop, edition, instrument))
    assert str(error.value) == message


def run(shop: Shop, *words: str) -> tuple[int, str, str]:
    places = ["--content", str(shop.content), "--out", str(shop.out), "--state", str(shop.state)]
    told = CliRunner().invoke(main, ["issue", *words, *places, "--today", "2026-06-01"])
    return told.exit_code, told.stdout, told.stderr


def test_the_command_says_where_it_lies_and_what_it_differs_from(shop: Shop) -> None:
    folder = shop.out / "issued" / "heron-appraisal-2026-06-01"
    assert run(shop, "heron", "--edition", "appraisal") == (
        0, f"Issued number 1 into {folder}.\n", "",
    )  # fmt: skip
    assert run(shop, "heron", "--edition", "appraisal", "--bag") == (
        0,
        f"Issued number 2 into {folder}-2. It says what differs from heron-appraisal-2026-06-01.\n",
        "",
    )
    assert (shop.out / "issued" / "heron-appraisal-2026-06-01-2" / "bagit.txt").is_file()


def test_the_command_ends_with_1_for_the_notes_and_2_for_wrong_use(shop: Shop) -> None:
    code, out, err = run(shop, "heron", "--edition", "owner")
    assert (code, out) == (2, "")
    assert err.startswith("dossier: The owner’s page is not issued")
    shop.write(VISIT, "---\nfound: H4 +2\n---\n")
    code, out, err = run(shop, "heron", "--edition", "sale")
    assert (code, out) == (1, "")
    assert err.endswith("heron: nothing was issued.\n")


def test_a_theme_whose_colours_are_broken_issues_nothing_and_is_pointed_at(shop: Shop) -> None:
    shop.write("theme/colours.toml", "[light]\npaper = '#ffffff'\n")
    outcome = issue(request(shop))
    assert outcome.folder is None
    assert [str(one).partition(". ")[0] for one in outcome.findings] == [
        "theme/colours.toml:1:1: error: colours.toml: [dark] is missing"
    ]
