"""The guide keeps its word: what it types is run, what it writes is read, what it lists is all."""

from __future__ import annotations

import itertools
import re
from datetime import date
from pathlib import Path

import click
import pytest

from dossier.checks import CHECKS
from dossier.cli import main
from dossier.edition.identity import sender
from dossier.guide.contents import GROUPS, MADE, pages, source
from dossier.guide.site import guide_tree
from dossier.model import COMPONENTS, MARK_KINDS, MEASURED_KINDS, Shop
from dossier.publish.check import Pages
from dossier.read import read_notebook
from dossier.schemas.schema import KINDS, schema
from dossier.theme import find_theme
from tests.guide.walkthrough import Walk, blocks, pattern, read_keys
from tests.makers.make_commands import PAGE, commands, page

NAMES = tuple(name for _, names in GROUPS for name in names)
WRITTEN = tuple(name for name in NAMES if name not in MADE and name != "commands")


@pytest.fixture
def shop(tmp_path: Path) -> Shop:
    walk = Walk(tmp_path / "own", pytest.MonkeyPatch())
    walk.begin()
    notebook, _ = read_notebook(tmp_path / "own" / "content", date(2026, 6, 1))
    assert notebook is not None
    return notebook.shop


@pytest.mark.parametrize("name", WRITTEN)
def test_a_page_can_be_carried_out_as_it_stands(
    name: str, shop: Shop, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    walk = Walk(tmp_path / "walk", monkeypatch)
    walk.here.mkdir()
    if name != "start":
        walk.begin()
    assert [wrong for block in blocks(source(name, shop)) if (wrong := walk.step(block))] == []
    _, found = read_notebook(walk.here / "content", date(2026, 6, 1))
    assert [str(one) for one in found if one.severity.label != "info"] == []


def test_what_is_not_as_the_page_says_is_found(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    walk = Walk(tmp_path / "walk", monkeypatch)
    walk.begin()
    (block,) = blocks("```console run 2026-01-01\n$ dossier check\nAll is well.\n```\n")
    assert "--- shown\nAll is well.\n" in walk.step(block)
    assert "H4" in read_keys("visit", "found: H4 +3\n", tmp_path / "keys")
    assert re.fullmatch(pattern("a …\n…\nd\n"), "a b\nc\nd\n")
    assert not re.fullmatch(pattern("a …\nd\n"), "a b\nc\nd\n")


def test_the_guide_types_commands_and_writes_notes(shop: Shop) -> None:
    infos = [block.info[1] for name in WRITTEN for block in blocks(source(name, shop))
             if len(block.info) > 1]  # fmt: skip
    assert infos.count("run") > 5
    assert infos.count("note") > 5
    assert infos.count("keys") > 10


def test_every_command_named_in_a_sentence_is_there(shop: Shop) -> None:
    known = dict(commands(main, "dossier"))
    named = {
        (name, code)
        for name in WRITTEN
        for code in re.findall(r"`(dossier [^`]+)`", source(name, shop).replace("\n", " "))
    }
    assert len(named) > 5
    for where, code in named:
        words = code.split()
        command = known.get(" ".join(words[:3])) or known.get(" ".join(words[:2]))
        assert command is not None, f"{where}: {code}"
        options = {one for part in command.params for one in part.opts}
        assert {word for word in words if word.startswith("--")} <= options, f"{where}: {code}"


def test_the_page_of_the_commands_is_as_the_commands_are() -> None:
    assert PAGE.read_text("utf-8") == page(), "run: python -m tests.makers.make_commands"
    assert isinstance(main, click.Group)


def test_every_key_stands_with_what_it_says_and_an_example(shop: Shop) -> None:
    hidden = {one.name for one in MEASURED_KINDS} | {one.name for one in MARK_KINDS}
    for kind, _, _ in KINDS:
        text = source(f"keys-{kind}", shop)
        of_a_visit = schema("visit", shop)["properties"] if kind in {"round", "inbox"} else {}
        for key in schema(kind, shop)["properties"].keys() - hidden - set(of_a_visit):
            cell = rf"(?:\*\*)?{re.escape(key)}(?:\*\*)?"
            row = re.search(rf"^\| {cell} \| .+ \| `.+$", text, re.MULTILINE)
            assert row, f"{kind}: {key}"


def test_every_row_of_a_registry_is_listed(shop: Shop) -> None:
    for name, wanted in (
        ("measured", [one.name for one in MEASURED_KINDS]),
        ("marks", [one.name for one in MARK_KINDS]),
        ("condition", list(COMPONENTS)),
        ("checks", [one.id for one in CHECKS]),
    ):
        text = source(name, shop)
        assert [one for one in wanted if one not in text] == []


def test_every_page_leads_to_pages_that_are_there(shop: Shop) -> None:
    theme = find_theme()
    tree = guide_tree(shop, sender(shop), theme)
    assert set(tree) == {f"{name}.html" for name in ("index", *NAMES)}
    inside = {f"guide/{path}": data for path, data in tree.items()}
    around = ("../assets/", *(f"../{name}.html" for name in ("index", "due", "open", "style")))
    found = [one for one in Pages(inside).faults() if not one.address.startswith(around)]
    assert [str(one) for one in found] == []
    for one in pages(shop):
        told = re.findall(r"\]\(([^)#]*)(?:#[^)]*)?\)", one.markdown)
        assert {link for link in told if not link.endswith(".md")} == set(), one.name
        assert not re.search(r"\[[^\]]+\]\([^)]*$", one.markdown), one.name


def test_the_pages_follow_each_other(shop: Shop) -> None:
    made = pages(shop)
    assert [one.name for one in made] == ["index", *NAMES]
    for before, after in itertools.pairwise(made[1:]):
        assert before.after == (after.name, after.title)
        assert after.before == (before.name, before.title)


def test_the_page_of_everything_leaves_out_no_key(shop: Shop) -> None:
    block, *_ = blocks(source("every-key", shop))
    listed = {line.partition(":")[0] for line in block.text.split("\n")}
    listed |= {one.name for one in MEASURED_KINDS} | {one.name for one in MARK_KINDS}
    assert set(schema("visit")["properties"]) - listed == set()


def test_the_page_of_the_drift_tells_the_trial_as_it_is_recorded(repo: Path, shop: Shop) -> None:
    record = (repo / "tests" / "audit" / "coverage.md").read_text("utf-8")
    each = int(re.findall(r"^(\d+) invented instruments a line", record, re.MULTILINE)[0])
    held = [
        [float(cell) for cell in row.split("|")[3:5]]
        for row in re.findall(r"^\| .*\d \|$", record, re.MULTILINE)
    ]
    assert held
    low, high = min(map(min, held)), max(map(max, held))
    assert (
        f"Tried on {each * len(held)} invented instruments, also where the assumptions were wrong "
        f"on purpose, intervals held the truth in {100 * low:.0f} to {100 * high:.0f} of 100."
    ) in " ".join(source("why-drift", shop).split())
