"""A hundred random edits: after each, the build over what stands is a clean build, byte for byte.

Edited are notes, instruments, clients, the shop, the theme, holds, mistakes, sales and links, and
days pass.  The clean build has the same notes, links and kept pages, and no cache and no pages.
"""

from __future__ import annotations

import random
import shutil
import tempfile
from collections.abc import Callable, Mapping
from datetime import timedelta
from pathlib import Path

import pytest
from hypothesis import HealthCheck, settings
from hypothesis import strategies as st
from hypothesis.stateful import RuleBasedStateMachine, precondition, rule, run_state_machine_as_test

from dossier.build import Outcome, Request, run
from dossier.publish.state import Link, State, save_state, withdrawn
from tests.audit.turning import NAMES, Trees, addresses, state_of, trees
from tests.build.small_shop import NOTES, TODAY, Shop, small_shop
from tests.publish.shop import SPARE, spare_faults

pytestmark = [pytest.mark.audit, pytest.mark.slow]

INSTRUMENTS = ("heron", "robin", "wren")
CLIENTS = ("marsh", "school", "newcomer")
HELD, BROKEN = "---\nhold: yes\n---\nThe hinge is loose.\n", "---\nraeson: x\n---\nThe lid.\n"
WORDS = st.sampled_from(("The lid creaks.", "A key sticks: D4.", "All well.", "Moth in the felt."))
LATEST = "visits/2026-05-04.md"

steps_done = 0


class Edits(RuleBasedStateMachine):
    """The small shop under the hands of a busy technician."""

    def __init__(self) -> None:
        super().__init__()
        self.root = Path(tempfile.mkdtemp(prefix="edits"))
        self.shop = small_shop(self.root / "shop")
        self.shop.write("clients/newcomer.md", "---\nname: The Newcomers\n---\n")
        self.day = TODAY
        self.owners = {"heron": "marsh", "robin": "school", "wren": "school"}
        self.built()

    def teardown(self) -> None:
        shutil.rmtree(self.root)

    def built(self) -> None:
        """Build over what stands, and from nothing, and compare."""
        global steps_done  # noqa: PLW0603  # what is proved is counted
        steps_done += 1
        clean = Shop(self.root / "clean")
        shutil.rmtree(clean.root, ignore_errors=True)
        if self.shop.state.exists():
            shutil.copytree(self.shop.state, clean.state)
            shutil.rmtree(clean.state / "cache", ignore_errors=True)
        shutil.copytree(self.shop.content, clean.content)
        outcome = self.build(self.shop)
        clean.state.mkdir(exist_ok=True)
        shutil.copyfile(self.shop.state / "links.json", clean.state / "links.json")
        (clean.state / "published").unlink(missing_ok=True)
        again = self.build(clean)
        assert outcome.published
        assert (again.kept, again.missing, again.held) == (
            outcome.kept,
            outcome.missing,
            outcome.held,
        )
        assert [str(one) for one in again.findings] == [str(one) for one in outcome.findings]
        assert differing(trees(self.shop), trees(clean)) == []
        assert kept(self.shop) == kept(clean)
        assert {path.name for path in self.shop.out.iterdir()} == {*NAMES, SPARE, "headers"}
        assert spare_faults(self.shop.out) == []
        self.nothing_withdrawn_stands()

    def build(self, shop: Shop) -> Outcome:
        request = Request(shop.content, shop.out, shop.state, self.day, (), 1, pdf=False)
        return run(request, lambda *_: None, lambda _: True)

    def nothing_withdrawn_stands(self) -> None:
        """Every folder of the public tree belongs to a link that is open today."""
        opened = {link.token for link in state_of(self.shop).links if link.opens(self.day)}
        assert addresses(self.shop) <= opened

    def there(self) -> list[str]:
        return [one for one in INSTRUMENTS if (self.shop.content / "instruments" / one).exists()]

    def write(self, name: str, path: str, text: str) -> None:
        if name in self.there():
            self.shop.write(f"instruments/{name}/{path}", text)
        self.built()

    @rule(name=st.sampled_from(INSTRUMENTS), words=WORDS, cents=st.integers(-12, 6))
    def edit_a_note(self, name: str, words: str, cents: int) -> None:
        self.write(name, LATEST, f"---\nfound: A4 {cents:+d}\nwork: tuning\n---\n{words}\n")

    @rule(name=st.sampled_from(INSTRUMENTS), day=st.integers(1, 28), words=WORDS)
    def add_a_note(self, name: str, day: int, words: str) -> None:
        self.write(name, f"visits/2026-04-{day:02d}.md", f"{words}\n")

    @rule(name=st.sampled_from(INSTRUMENTS))
    def hold_or_let_go(self, name: str) -> None:
        path = self.shop.content / "instruments" / name / LATEST
        held = path.exists() and "hold: yes" in path.read_text()
        self.write(name, LATEST, HELD.replace("yes", "no") if held else HELD)

    @rule(name=st.sampled_from(INSTRUMENTS))
    def break_a_note_or_mend_it(self, name: str) -> None:
        path = self.shop.content / "instruments" / name / LATEST
        broken = path.exists() and path.read_text() == BROKEN
        self.write(name, LATEST, "All well.\n" if broken else BROKEN)

    @rule(name=st.sampled_from(INSTRUMENTS))
    def delete_or_bring_back(self, name: str) -> None:
        folder = self.shop.content / "instruments" / name
        if folder.exists():
            shutil.rmtree(folder)
        else:
            text = NOTES[f"instruments/{name}/instrument.md"]
            owner = self.owners[name]
            own = text.replace("client: marsh", f"client: {owner}")
            self.shop.write(
                f"instruments/{name}/instrument.md",
                own.replace("client: school", f"client: {owner}"),
            )
        self.built()

    @rule()
    def rename_an_instrument_and_back(self) -> None:
        folder = self.shop.content / "instruments"
        old, new = ("heron", "egret") if (folder / "heron").exists() else ("egret", "heron")
        if (folder / old).exists() and not (folder / new).exists():
            (folder / old).rename(folder / new)
        self.built()

    @rule(name=st.sampled_from(INSTRUMENTS), client=st.sampled_from(CLIENTS), told=st.booleans())
    def sell(self, name: str, client: str, told: bool) -> None:
        path = self.shop.content / "instruments" / name / "instrument.md"
        if path.exists():
            line = f"provenance: 2026-05 sold, to {client}\n" if told else ""
            self.owners[name] = client
            self.shop.write(
                f"instruments/{name}/instrument.md",
                f"---\nclient: {client}\n{line}title: The {name}\n---\n",
            )
        self.built()

    @rule(
        field=st.sampled_from(("phone: +999 555 0101", "accent: '#2f5d50'", "interval: 6 months"))
    )
    def change_the_shop(self, field: str) -> None:
        key = field.partition(":")[0]
        lines = NOTES["shop.md"].splitlines(keepends=True)
        kept_lines = [line for line in lines if not line.startswith(f"{key}:")]
        self.shop.write("shop.md", "".join([*kept_lines[:-1], f"{field}\n", kept_lines[-1]]))
        self.built()

    @rule(size=st.integers(1, 3))
    def change_the_theme(self, size: int) -> None:
        self.shop.write("theme/screen/own.css", f"p {{ margin-top: {size}em }}\n")
        self.built()

    @rule(kept_back=st.booleans(), client=st.sampled_from(CLIENTS))
    def keep_something_private(self, kept_back: bool, client: str) -> None:
        line = "private:\n  gate code: 4711\n" if kept_back else ""
        self.shop.write(f"clients/{client}.md", f"---\nname: The {client}\n{line}---\n")
        self.built()

    @rule(client=st.sampled_from(CLIENTS), status=st.sampled_from(("", "status: left\n")))
    def let_a_client_leave_or_return(self, client: str, status: str) -> None:
        self.shop.write(f"clients/{client}.md", f"---\nname: The {client}\n{status}---\n")
        self.built()

    @rule(days=st.sampled_from((1, 30, 200)))
    def let_days_pass(self, days: int) -> None:
        self.day += timedelta(days=days)
        self.built()

    @rule(dice=st.randoms(use_true_random=False))
    @precondition(lambda self: bool(state_of(self.shop).links))
    def withdraw_a_link(self, dice: random.Random) -> None:
        state = state_of(self.shop)
        link = dice.choice(state.links)
        save_state(self.shop.state, withdrawn(state, [link.token], self.day))
        self.built()

    @rule(name=st.sampled_from(INSTRUMENTS))
    def link_one_instrument_alone(self, name: str) -> None:
        links = state_of(self.shop).links
        link = Link(
            token=f"{len(links):0>40}",
            kind="instrument",
            target=f"{self.owners[name]}/{name}",
            made=self.day,
        )
        save_state(self.shop.state, State(links=(*links, link)))
        self.built()


def differing(one: Trees, other: Trees) -> list[str]:
    return [
        f"{name}/{path}"
        for name in NAMES
        for path in sorted(one[name].keys() | other[name].keys())
        if one[name].get(path) != other[name].get(path)
    ]


def kept(shop: Shop) -> Mapping[str, bytes]:
    """What is kept for the next build, with nothing beside it."""
    folder = shop.state
    found = {path.name: path.read_bytes() for path in sorted((folder / "kept").glob("*/*"))}
    assert not (folder / "kept.next.json").exists()
    return {"kept.json": (folder / "kept.json").read_bytes(), **found}


def edits(examples: int, steps: int) -> int:
    """Run the machine; how many builds were compared with a clean one."""
    global steps_done  # noqa: PLW0603
    steps_done = 0
    run_state_machine_as_test(
        Edits,
        settings=settings(
            max_examples=examples,
            stateful_step_count=steps,
            deadline=None,
            derandomize=True,
            suppress_health_check=list(HealthCheck),
        ),
    )
    return steps_done


@pytest.mark.long
def test_after_each_of_a_hundred_edits_a_build_is_as_a_clean_one(
    record_property: Callable[[str, object], None],
) -> None:
    done = edits(8, 16)
    assert done >= 100
    record_property("edits compared", done)


def test_after_each_of_a_few_edits_a_build_is_as_a_clean_one() -> None:
    assert edits(1, 6) >= 4
