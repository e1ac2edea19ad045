"""Nothing leaves that should not: two hundred random shops, built and issued, every byte searched.

Each shop has a canary in all that its notes say.  What a reader may find follows from the lists of
fields in `tests/edition/test_leaks.py`; all else must be nowhere in what is published: not on a
page, in its data, calendar, charts, documents or pictures, nor in the name of a file.
"""

from __future__ import annotations

import getpass
import os
import platform
import socket
from collections import Counter
from collections.abc import Callable, Iterator, Mapping, Set
from contextlib import contextmanager
from dataclasses import dataclass, field, replace
from itertools import count, islice
from pathlib import Path
from shutil import rmtree

import pytest

from dossier.build import Request, run
from dossier.diagnostics import Severity
from dossier.edition.declared import APPRAISAL, BENCH, OWNER, RELEASED_BY, SALE, Edition
from dossier.model import Notebook
from dossier.publish.state import State, load_state, open_links, save_state
from dossier.read import open_folder, read_sources
from dossier.sites.issue import IssueRequest, issue
from tests.audit.canary_owners import Reader, all_sources, sources_of
from tests.audit.canary_pictures import alike
from tests.audit.canary_search import Inspected, canaries, inspected
from tests.audit.canary_shop import TODAY, CanaryShop, shop_of
from tests.edition.pages import page
from tests.edition.test_leaks import READS, set_free, written
from tests.publish.shop import files

pytestmark = [pytest.mark.audit, pytest.mark.slow]

BLOCKS, SHOPS, ON_PAPER = 5, 40, 6
"""Two hundred shops; paper takes the most time, so the first few of each block have it."""
MACHINE = "qzmachine"
# Of these the notes have fixed words alone, or names made by the reader.
NEVER_A_WORD = {"Measured.qualifier"}


@dataclass
class Tally:
    """What was searched, and how often each field was found where it may be."""

    shops: int = 0
    files: int = 0
    size: int = 0
    documents: int = 0
    pictures: int = 0
    statements: int = 0
    canaries: int = 0
    leaks: list[str] = field(default_factory=list)
    found: Counter[tuple[str, str]] = field(default_factory=Counter)
    in_notes: set[str] = field(default_factory=set)

    def missing(self, edition: Edition) -> Set[str]:
        """The declared fields that were in the notes and reached no page of the edition."""
        seen = {where for name, where in self.found if name == edition.name}
        return READS[edition.name] - seen


@dataclass
class Proof:
    """One shop, built into a folder of this machine, and searched."""

    shop: CanaryShop
    root: Path
    tally: Tally
    pdf: bool

    def __post_init__(self) -> None:
        self.content, self.out = self.root / f"{MACHINE}notes", self.root / f"{MACHINE}out"
        self.state = self.root / f"{MACHINE}state"
        self.tokens: set[str] = set()
        for path, data in self.shop.files.items():
            file = self.content / path
            file.parent.mkdir(parents=True, exist_ok=True)
            file.write_bytes(data)
        notebook, found = read_sources(open_folder(self.content), TODAY)
        wrong = [str(one) for one in found if one.severity is Severity.ERROR]
        assert notebook is not None
        assert wrong == [], self.shop
        self.notebook: Notebook = notebook
        self.sources = all_sources(notebook)
        self.tally.shops += 1
        self.tally.canaries += len(self.sources)
        self.tally.in_notes |= {where for some in self.sources.values() for where in some}

    def reader(self, edition: Edition, instrument: str) -> Reader:
        sold = self.shop.plan.sold and instrument == self.shop.plan.first
        return Reader(edition, self.notebook.history(instrument), sold)

    def built(self) -> None:
        """Build the shop, and search the public site, the bench and the servers' files."""
        save_state(self.state, State(links=self.shop.plan.links))
        request = Request(self.content, self.out, self.state, TODAY, (), 1, self.pdf)
        assert run(request, lambda *_: None, lambda _: True).published
        state, _ = load_state(self.state, self.out)
        assert state is not None
        opened = {
            link.token: link.target for link in open_links(state, self.notebook.clients, TODAY)
        }
        self.tokens = {link.token for link in state.links}
        public = files(self.out / "public")
        folders = {path.partition("/")[0] for path in public if "/" in path}
        assert folders - {"assets"} <= opened.keys()
        for token, target in sorted(opened.items()):
            mine = {
                path.partition("/")[2]: data
                for path, data in public.items()
                if path.startswith(f"{token}/")
            }
            self.search(mine, [self.reader(OWNER, name) for name in self._opens(target)], target)
        top = {path: data for path, data in public.items() if path.partition("/")[0] not in opened}
        self.search(top, [], "root")
        self.search(files(self.out / "headers"), [], "headers")
        self.bench()

    def _opens(self, target: str) -> list[str]:
        client, _, alone = target.partition("/")
        return [
            name
            for name, one in self.notebook.instruments.items()
            if one.client == client and (not alone or alone == name)
            and not any(visit.hold for visit in self.notebook.visits[name])
        ]  # fmt: skip

    def issued(self, edition: Edition) -> None:
        """Issue a statement of the first instrument, and search its folder.

        Without paper the document is an empty file; all else is issued as it always is.
        """
        name = self.shop.plan.first
        wish = IssueRequest(self.content, self.out, self.state, TODAY, name, edition.name, True)
        with pytest.MonkeyPatch.context() as patch:
            if not self.pdf:
                patch.setattr("dossier.render.pdf.document", lambda *_: b"")
            folder = issue(wish).folder
        assert (folder is None) == self.shop.plan.held
        if folder is not None:
            self.tally.statements += 1
            self.search(files(folder), [self.reader(edition, name)], folder.name)

    def search(self, tree: Mapping[str, bytes], readers: list[Reader], what: str) -> None:
        may: dict[str, set[str]] = {}
        for reader in readers:
            for canary, where in reader.may().items():
                may.setdefault(canary, set()).update(where)
        if what == "root":  # the page for a wrong address is the shop's own
            may = {
                canary: {where}
                for canary, where, _ in sources_of(self.notebook.shop)
                if where in READS["owner"]
            }
        pictures = {path for reader in readers for path in reader.pictures()}
        for path, data in tree.items():
            if path.endswith(".pdf") and not data and not self.pdf:
                continue
            place = f"{self.shop} {what}/{path}"
            seen = inspected(path, data)
            found = self.known(canaries(iter((path,))) | seen.canaries)
            self.tally.files += 1
            self.tally.size += len(data)
            self.tally.documents += path.endswith(".pdf")
            for canary in sorted(found - may.keys()):
                came = sorted(self.sources.get(canary, {"outside of the records"}))
                self.tally.leaks.append(f"{place}: {canary} of {', '.join(came)}")
            self.tally.leaks += [f"{place}: {one}" for one in sorted(seen.paths)]
            self.tally.leaks += [f"{place}: {one}" for one in self._machine(seen.whole)]
            self.tally.leaks += [
                f"{place}: a private link" for one in self.tokens if one in path + seen.whole
            ]
            self._pictures(seen, pictures, place)
            if seen.money and not any(reader.money() for reader in readers):
                self.tally.leaks.append(f"{place}: a sum of money {seen.money[:3]}")
            for name in {reader.edition.name for reader in readers}:
                self.tally.found.update(
                    (name, where) for canary in found & may.keys() for where in may[canary]
                )

    def known(self, found: Set[str]) -> set[str]:
        """Words, and those figures that stand in the notes; others are a drawing's own."""
        return {one for one in found if one.startswith("qz") or one in self.sources}

    def _machine(self, whole: str) -> Iterator[str]:
        known = {MACHINE, str(self.root), *_names_of_this_machine()}
        yield from (f"{word} of this machine" for word in known if word.casefold() in whole)

    def _pictures(self, seen: Inspected, may: set[str], what: str) -> None:
        for colour in seen.colours:
            self.tally.pictures += 1
            known = [one for one, own in self.shop.colours.items() if alike(colour, own)]
            if not any(one in may for one in known):
                self.tally.leaks.append(f"{what}: a picture that is {known or colour}")

    def bench(self) -> None:
        """The bench may know all of the notes, and nothing of the machine or behind a picture."""
        for path, data in files(self.out / "bench").items():
            seen = inspected(path, data)
            for canary in self.known(seen.canaries):
                where = self.sources.get(canary, set())
                self.tally.found.update((BENCH.name, one) for one in where)
                if not where and path.endswith((".jpg", ".png", ".webp", ".pdf")):
                    self.tally.leaks.append(f"{self.shop} bench/{path}: {canary}")
            self.tally.leaks += [
                f"{self.shop} bench/{path}: {one}" for one in self._machine(seen.whole)
            ]


def _names_of_this_machine() -> set[str]:
    """Names that tell of a machine and are no words of any page; the short ones are words."""
    names = {str(Path.home()), str(Path.cwd()), socket.gethostname(), platform.node()}
    names |= {getpass.getuser(), os.environ.get("HOME", "")}
    return {name for name in names if len(name) > 5}


def searched(shop: CanaryShop, root: Path, tally: Tally, *, pdf: bool) -> None:
    proof = Proof(shop, root / f"{MACHINE}{shop.seed}", tally, pdf)
    proof.built()
    for edition in (SALE, APPRAISAL):
        proof.issued(edition)


def prove(block: int, root: Path) -> Tally:
    """Search the shops of a block, each from a seed of its own; the first of them on paper too."""
    tally = Tally()
    for at in range(SHOPS):
        place = root / str(at)
        searched(shop_of(1000 * block + at), place, tally, pdf=at < ON_PAPER)
        rmtree(place)
    return tally


def full_shops() -> Iterator[CanaryShop]:
    """The shops of whose notes none may be passed over: with all keys, never sold, none held."""
    for shop in map(shop_of, count()):
        if shop.plan.density == 1 and not shop.plan.sold and not shop.plan.held:
            yield shop


def test_no_canary_is_out_of_place_in_full_shops(tmp_path: Path) -> None:
    """As many as it takes until each field that an owner may read was found on a page."""
    tally = Tally()
    for shop in islice(full_shops(), 5):
        searched(shop, tmp_path, tally, pdf=False)
        if tally.missing(OWNER) <= NEVER_A_WORD:
            break
    assert tally.leaks == []
    assert tally.missing(OWNER) <= NEVER_A_WORD
    assert tally.statements == 2 * tally.shops
    assert (tally.canaries > 1000, tally.pictures > 50) == (True, True)


@pytest.mark.parametrize(
    ("edition", "section", "field"),
    [
        (OWNER, "bench prose", "Passage.markdown of the bench"),
        (OWNER, "private", "Visit.private"),
        (APPRAISAL, "costs", "Work.price"),
        (SALE, "client name", "Client.name"),
        (SALE, "valuation", "Valuation.by"),
        (SALE, "prose", "Passage.markdown"),
        (APPRAISAL, "address", "Client.address"),
        (APPRAISAL, "room", "Room.name"),
    ],
)
def test_one_section_too_many_in_a_declaration_is_found(
    edition: Edition, section: str, field: str
) -> None:
    flight = set_free("show costs: no", "relation: x")
    wider = replace(edition, shows=edition.shows | {section})
    may = READS[edition.name] - {"Passage.markdown"} if section == "prose" else READS[edition.name]
    assert field in flight.leaks(written(page(flight.heron, edition=wider)), may).values()


def test_no_statement_has_a_part_for_what_is_private() -> None:
    """So that a declaration widened by it shows no more, and no search could tell."""
    flight = set_free("show costs: no", "relation: x")
    for edition in (SALE, APPRAISAL):
        wider = replace(edition, shows=edition.shows | {"private"})
        assert flight.leaks(written(page(flight.heron, edition=wider)), READS[edition.name]) == {}


@contextmanager
def widened(edition: Edition, section: str) -> Iterator[None]:
    """The declaration itself with one line too many, as a slip of the hand would leave it."""
    declared = edition.shows
    object.__setattr__(edition, "shows", declared | {section})
    try:
        yield
    finally:
        object.__setattr__(edition, "shows", declared)


def full_shop_without(edition: Edition, section: str, where: str, root: Path) -> Proof:
    """The first full shop that says what is looked for, and whose client didn't release it."""
    for shop in full_shops():
        proof = Proof(shop, root / f"{MACHINE}{shop.seed}", Tally(), pdf=False)
        reader = proof.reader(edition, shop.plan.first)
        client = reader.history.client
        words = {
            what for one in client.releases if one.edition == edition.name for what in one.what
        }
        known = reader.history
        records = (client, known.instrument, known.visits, *known.rooms.values())
        told = {field for one in records for _, field, _ in sources_of(one)}
        if RELEASED_BY.get(section) not in words and where in told - reader.fields:
            return proof
    raise AssertionError  # the shops have no end


def test_one_line_too_many_is_found_in_what_is_issued(tmp_path: Path) -> None:
    proof = full_shop_without(SALE, "costs", "Visit.fee", tmp_path)
    with widened(SALE, "costs"):
        proof.issued(SALE)
    assert [leak for leak in proof.tally.leaks if leak.endswith(" of Visit.fee")]


@pytest.mark.long
@pytest.mark.parametrize(
    ("edition", "section", "where"),
    [
        (OWNER, "bench prose", "Passage.markdown of the bench"),
        (OWNER, "private", "Visit.private"),
        (SALE, "costs", "Visit.fee"),
        (SALE, "valuation", "Valuation.by"),
        (SALE, "client name", "Client.name"),
        (APPRAISAL, "address", "Client.address"),
        (APPRAISAL, "room", "Room.name"),
    ],
)
def test_one_line_too_many_is_found_in_a_whole_shop(
    edition: Edition, section: str, where: str, tmp_path: Path
) -> None:
    proof = full_shop_without(edition, section, where, tmp_path)
    with widened(edition, section):
        proof.built()
        for statement in (SALE, APPRAISAL):
            proof.issued(statement)
    assert proof.tally.statements == 2
    assert [leak for leak in proof.tally.leaks if leak.endswith(f" of {where}")]


@pytest.mark.long
@pytest.mark.parametrize("block", range(1, BLOCKS + 1))
def test_no_canary_is_out_of_place_in_any_shop(
    block: int, tmp_path: Path, record_property: Callable[[str, object], None]
) -> None:
    tally = prove(block, tmp_path)
    record_property("seed", f"1000 × block + 0 to {SHOPS - 1}")
    for name in ("shops", "statements", "files", "size", "documents", "pictures", "canaries"):
        record_property(name, getattr(tally, name))
    record_property("out of place", len(tally.leaks))
    assert tally.leaks == []
    assert tally.shops == SHOPS
    assert tally.documents >= 2 * ON_PAPER
    assert tally.missing(OWNER) <= NEVER_A_WORD
