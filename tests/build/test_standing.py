"""Whose pages stay as they are, whose are withdrawn, and who gets whose: when in doubt, closed."""

from __future__ import annotations

import shutil
from datetime import timedelta

import pytest

from dossier.build import UnknownClientError
from dossier.publish.kept import load_kept
from dossier.publish.state import State, load_state, save_state
from tests.build.small_shop import NOTES, TODAY, VISIT, Shop, errors
from tests.publish.shop import files
from tests.site.test_links import faults, read_site

SCHOOL = "clients/school.md"
WREN = "instruments/wren/instrument.md"
HOLD = "---\nhold: yes\n---\nThe hinge is loose.\n"
NAMELESS = (
    'shop.md:2:1: error: The key "name" is missing. '
    "Write name: and its value between the lines of ---."
)
UNTOLD = NOTES[WREN].replace("school", "marsh")
SOLD = UNTOLD.replace("title:", "provenance: 2026-05 sold, to marsh\ntitle:")


def test_a_note_on_hold_keeps_all_pages_of_its_client(shop: Shop) -> None:
    shop.good()
    school = shop.site("school")
    shop.write("instruments/wren/visits/2026-05-04.md", HOLD)
    shop.write("instruments/robin/visits/2026-05-04.md", "The lid creaks.\n")
    shop.says(VISIT, "fine piece", "lovely piece")
    outcome = shop.good()
    assert outcome.held == ("school",)
    assert (outcome.kept, outcome.missing) == ((), ())
    assert shop.site("school") == school
    assert "lovely piece" in shop.page("marsh")
    assert b"The lid creaks." in shop.bench()["robin/index.html"]


def test_pages_are_let_through_when_hold_is_taken_out(shop: Shop) -> None:
    shop.good()
    shop.write("instruments/wren/visits/2026-05-04.md", HOLD)
    shop.good()
    shop.says("instruments/wren/visits/2026-05-04.md", "hold: yes", "hold: no")
    outcome = shop.good()
    assert outcome.held == ()
    assert next(change.new for change in outcome.changes if change.client == "school/wren")
    assert "The hinge is loose." in shop.page("school", "wren/index.html")


def test_an_instrument_that_comes_while_its_client_is_on_hold_waits(shop: Shop) -> None:
    shop.good()
    marsh = shop.site("marsh")
    shop.write("instruments/heron/visits/2026-05-04.md", HOLD)
    shop.write("instruments/owl/instrument.md", "---\nclient: marsh\ntitle: The owl\n---\n")
    outcome = shop.good()
    assert (outcome.held, outcome.missing) == (("marsh",), ())
    assert shop.site("marsh") == marsh
    assert b"The owl" in shop.bench()["owl/index.html"]


def test_a_first_build_on_hold_gives_no_address(shop: Shop) -> None:
    shop.write("instruments/heron/visits/2026-05-04.md", HOLD)
    outcome = shop.good()
    assert outcome.minted == ("school",)
    assert "marsh" not in shop.tokens()
    assert "heron/index.html" in shop.bench()
    assert faults(read_site(shop.out)) == []


def test_a_bad_clients_file_keeps_that_clients_last_pages(shop: Shop) -> None:
    shop.good()
    school = shop.site("school")
    shop.write(SCHOOL, "---\nname: Pond Street School\nknid: school\n---\n")
    shop.says(VISIT, "fine piece", "lovely piece")
    outcome = shop.build()
    assert errors(outcome) == [
        'clients/school.md:3:1: error: "knid" is not a key of a client. Did you mean "kind"?'
    ]
    assert (outcome.built, outcome.kept) == (("heron",), ("robin", "wren"))
    assert shop.site("school") == school
    assert "lovely piece" in shop.page("marsh")


def test_a_bad_note_keeps_its_instrument_and_its_neighbour_goes_on(shop: Shop) -> None:
    shop.good()
    before = shop.site("school")
    shop.write("instruments/wren/visits/2026-05-04.md", "---\nraeson: x\n---\nThe hinge.\n")
    shop.write("instruments/robin/visits/2026-05-04.md", "The lid creaks.\n")
    outcome = shop.build()
    assert (outcome.built, outcome.kept) == (("heron", "robin"), ("wren",))
    after = shop.site("school")
    wren = [path for path in before if path.startswith("wren/")]
    assert len(wren) > 1
    assert {path: after[path] for path in wren} == {path: before[path] for path in wren}
    assert "The lid creaks." in after["robin/index.html"].decode()
    assert "Room 12" in after["index.html"].decode()
    assert faults(read_site(shop.out)) == []


def test_a_new_look_reaches_all_but_a_page_that_is_kept_which_has_its_old_one(shop: Shop) -> None:
    shop.good()
    old = shop.bench()["wren/index.html"]
    shop.write("instruments/wren/visits/2026-05-04.md", "---\nraeson: x\n---\nThe lid creaks.\n")
    shop.says("shop.md", "interval: 1 year", "interval: 1 year\naccent: '#2f5d50'")
    outcome = shop.build()
    assert (outcome.published, outcome.kept) == (True, ("wren",))
    bench = shop.bench()
    assert bench["wren/index.html"] == old
    assert sum(path.startswith("assets/bench-") for path in bench) == 2
    assert faults(read_site(shop.out)) == []


def test_a_client_who_left_has_no_site(shop: Shop) -> None:
    shop.good()
    assert kept_of(shop, b"Room 12")
    folder = shop.out / "public" / shop.tokens()["school"]
    marsh = shop.site("marsh")
    shop.says(SCHOOL, "kind: school\n", "kind: school\nstatus: left\n")
    outcome = shop.good()
    assert not folder.exists()
    assert [one.heading for one in outcome.changes] == [
        "school/robin: the site is closed",
        "school/wren: the site is closed",
    ]
    assert shop.site("marsh") == marsh
    assert "robin/index.html" in shop.bench()
    assert not kept_of(shop, b"Room 12")


def test_who_comes_back_has_the_same_address(shop: Shop) -> None:
    shop.good()
    school = shop.site("school")
    shop.says(SCHOOL, "kind: school\n", "kind: school\nstatus: left\n")
    shop.good()
    shop.write(SCHOOL, NOTES[SCHOOL])
    outcome = shop.good()
    assert outcome.minted == ()
    assert shop.site("school") == school


@pytest.mark.parametrize("held", [False, True])
def test_after_a_sale_only_the_new_owner_has_the_instrument(shop: Shop, *, held: bool) -> None:
    shop.good()
    if held:
        shop.write("instruments/robin/visits/2026-05-04.md", HOLD)
    shop.write(WREN, SOLD)
    outcome = shop.good()
    assert outcome.minted == ()
    assert "Cleaning" in shop.page("marsh", "wren/index.html")
    assert "Chalk" not in shop.page("marsh", "wren/index.html")
    theirs = b"".join(shop.site("marsh").values())
    assert b"Pond Street" not in theirs
    assert b"school" not in theirs
    left = shop.site("school")
    assert not [path for path in left if "wren" in path]
    assert b"Room 12" not in b"".join(left.values())
    assert faults(read_site(shop.out)) == []


def test_a_change_of_hands_without_a_date_shows_nothing_to_anyone(shop: Shop) -> None:
    shop.good()
    shop.write(WREN, UNTOLD)
    outcome = shop.build()
    (error,) = errors(outcome)
    assert error == (
        f"{WREN}:2:9: error: It was school's when it was last published, and is marsh's now. "
        'Write since when below provenance:, as in "2026-05 sold, to marsh".'
    )
    assert (outcome.kept, outcome.missing) == ((), ("wren",))
    assert not [path for path in shop.public() if "wren" in path]


def test_a_client_whose_file_is_renamed_keeps_all_that_was_told(shop: Shop) -> None:
    shop.good()
    (shop.content / "clients/marsh.md").rename(shop.content / "clients/eel-lane.md")
    shop.says("instruments/heron/instrument.md", "client: marsh", "client: eel-lane")
    shop.good()
    assert "fine piece" in shop.page("eel-lane")


def test_a_sold_instrument_that_cant_be_read_is_nobodys(shop: Shop) -> None:
    """Its last pages were made for the owner before, and hold what was told to them."""
    shop.good()
    shop.write(WREN, SOLD)
    shop.write("instruments/wren/visits/2026-05-04.md", "---\nraeson: x\n---\nThe hinge.\n")
    outcome = shop.build()
    assert (outcome.kept, outcome.missing) == ((), ("wren",))
    assert not [path for path in shop.public() if "wren" in path]
    assert faults(read_site(shop.out)) == []


def test_building_one_client_leaves_the_others_as_they_stand(shop: Shop) -> None:
    shop.good()
    school = shop.site("school")
    shop.says(VISIT, "fine piece", "lovely piece")
    shop.write("instruments/robin/visits/2026-05-04.md", "The lid creaks.\n")
    outcome = shop.good("marsh")
    assert [change.client for change in outcome.changes] == ["marsh/heron"]
    assert shop.site("school") == school
    assert "lovely piece" in shop.page("marsh")
    shop.good()
    assert "The lid creaks." in shop.page("school", "robin/index.html")


def test_building_one_client_first_gives_the_others_no_address_yet(shop: Shop) -> None:
    outcome = shop.good("marsh")
    assert outcome.minted == ("marsh",) == tuple(shop.tokens())
    assert faults(read_site(shop.out)) == []
    assert shop.good().minted == ("school",)


def test_a_client_whom_nobody_knows_is_refused_before_anything_is_built(shop: Shop) -> None:
    with pytest.raises(UnknownClientError) as refused:
        shop.build("marsh", "shcool")
    assert str(refused.value) == "There is no client “shcool”. Did you mean school?"
    with pytest.raises(UnknownClientError) as refused:
        shop.build("quay")
    assert str(refused.value) == "There is no client “quay”. There are marsh, school."
    assert not shop.out.exists()


def test_a_client_whose_file_cant_be_read_is_known_all_the_same(shop: Shop) -> None:
    shop.write(SCHOOL, "---\nkind: school\n---\n")
    outcome = shop.build("school")
    assert outcome.missing == ("robin", "wren")


def test_a_refused_review_publishes_nothing_and_mints_nothing(shop: Shop) -> None:
    outcome = shop.build(approved=False)
    assert (outcome.published, outcome.minted) == (False, ())
    assert [change.client for change in outcome.changes] == [
        "marsh/heron",
        "school/robin",
        "school/wren",
    ]
    assert not shop.out.exists()
    assert shop.tokens() == {}


def remembered(shop: Shop) -> dict[str, bytes]:
    """The state but for the cache, which may hold what was made and not published."""
    return {path: data for path, data in files(shop.state).items() if path.split("/")[0] != "cache"}


def test_a_refused_review_leaves_what_stood(shop: Shop) -> None:
    shop.good()
    before = files(shop.root / "build"), remembered(shop)
    shop.says(VISIT, "fine piece", "lovely piece")
    shop.write("clients/new.md", "---\nname: The Newcomers\n---\n")
    shop.write("instruments/owl/instrument.md", "---\nclient: new\ntitle: The owl\n---\n")
    assert not shop.build(approved=False).published
    assert (files(shop.root / "build"), remembered(shop)) == before
    assert shop.good().minted == ("new",)


def test_missing_links_stop_the_build(shop: Shop) -> None:
    shop.good()
    public = shop.public()
    (shop.state / "links.json").unlink()
    outcome = shop.build()
    (error,) = errors(outcome)
    assert error == (
        f".dossier/links.json:1:1: error: links.json is missing from {shop.state}, though pages "
        "were published. Its backup is whole and holds 2 links: copy "
        f"{shop.state / 'links.json.bak'} to {shop.state / 'links.json'}. Only if every client is "
        f"to get a new address: delete {shop.state} and {shop.out / 'public'}, and build again."
    )
    assert (outcome.published, outcome.minted, outcome.built) == (False, (), ())
    assert shop.public() == public
    shutil.copyfile(shop.state / "links.json.bak", shop.state / "links.json")
    assert shop.good().minted == ()
    assert shop.public() == public


@pytest.mark.parametrize(
    ("old", "new", "told"),
    [
        (
            "name: Millrace Pianos\n",
            "",
            NAMELESS,
        ),
        (
            "interval: 1 year",
            "intervall: 1 year",
            'shop.md:7:1: error: "intervall" is not a key of the shop. Did you mean "interval"?',
        ),
    ],
)
def test_a_bad_shop_file_leaves_all_owners_pages_as_they_stand(
    shop: Shop, old: str, new: str, told: str
) -> None:
    shop.good()
    public = shop.public()
    shop.says("shop.md", old, new)
    shop.says(VISIT, "fine piece", "lovely piece")
    outcome = shop.build()
    assert (errors(outcome), outcome.built) == ([told], ())
    assert shop.public() == public


def kept_of(shop: Shop, text: bytes) -> bool:
    """Whether the kept pages say it."""
    return any(text in data for data in files(shop.state / "kept").values())


BROKEN = "---\nraeson: x\n---\nThe hinge.\n"


@pytest.mark.parametrize("note", [HOLD, BROKEN], ids=["on hold", "can't be read"])
@pytest.mark.parametrize("end", ["withdrawn", "last day"])
def test_kept_pages_end_with_their_link(shop: Shop, note: str, end: str) -> None:
    """What is only kept is shown no longer than what is made, and then forgotten."""
    shop.good()
    marsh = shop.site("marsh")
    shop.write("instruments/heron/visits/2026-05-04.md", note)
    shop.build()
    assert shop.site("marsh") == marsh
    assert kept_of(shop, b"The heron upright")
    state, _ = load_state(shop.state, shop.out)
    assert state is not None
    day = TODAY - timedelta(days=1)
    change = {"withdrawn": TODAY} if end == "withdrawn" else {"last_day": day}
    links = [
        link.model_copy(update=change) if link.client == "marsh" else link for link in state.links
    ]
    save_state(shop.state, State(links=tuple(links)))
    assert shop.build().published
    assert b"The heron upright" not in b"".join(shop.public().values())
    assert not [name for name in kept_names(shop) if name.endswith((":heron", ":marsh"))]


def kept_names(shop: Shop) -> list[str]:
    keeping, _ = load_kept(shop.state, lambda: "")
    return list(keeping.entries)
