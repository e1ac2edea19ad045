"""A build from the notes to the pages: what comes of it, and that the same comes of it again."""

from __future__ import annotations

import shutil
from pathlib import Path

from dossier.sites.idle import FOLDER
from dossier.untouched import RECORD
from tests.build.small_shop import NOTES, VISIT, Shop, errors
from tests.publish.shop import files
from tests.site.test_links import faults, read_site

OWL = "instruments/owl/instrument.md"


def test_a_first_build_gives_each_client_an_address(shop: Shop) -> None:
    outcome = shop.good()
    assert outcome.built == ("heron", "robin", "wren")
    assert outcome.minted == ("marsh", "school") == tuple(shop.tokens())
    assert {len(token) for token in shop.tokens().values()} == {40}
    assert "The heron upright" in shop.page("marsh")
    assert "Room 7" in shop.page("school")
    assert "Room 12" in shop.page("school")
    assert all(change.opens for change in outcome.changes)
    assert [change.heading.split(", with ")[0] for change in outcome.changes] == [
        "marsh/heron: a first site",
        "school/robin: a first site",
        "school/wren: a first site",
    ]
    own = [path for path in (*shop.public(), *shop.bench()) if not path.startswith("guide/")]
    assert outcome.pages == sum(path.endswith(".html") for path in own)


def test_a_second_build_of_the_same_changes_nothing(shop: Shop) -> None:
    shop.good()
    before, written = files(shop.root), times(shop.out)
    outcome = shop.good()
    assert (outcome.minted, outcome.changes) == ((), ())
    after = files(shop.root)
    ages = (shop.state / FOLDER / RECORD).relative_to(shop.root).as_posix()
    del before[ages], after[ages]  # what was too new to be believed may be old enough now
    assert after == before
    assert times(shop.out) == written


def test_a_changed_note_changes_its_own_client_alone(shop: Shop) -> None:
    shop.good()
    marsh, school = shop.site("marsh"), shop.site("school")
    shop.says(VISIT, "The wren in the casework", "The carved wren")
    outcome = shop.good()
    (change,) = outcome.changes
    assert change.client == "marsh/heron"
    (new,), (gone,) = change.new, change.gone
    assert new.endswith("The carved wren is a fine piece of carving.")
    assert gone.endswith("The wren in the casework is a fine piece of carving.")
    assert shop.site("school") == school
    assert shop.site("marsh").keys() == marsh.keys()
    assert "The carved wren" in shop.page("marsh")


def test_pages_of_an_instrument_that_is_gone_vanish(shop: Shop) -> None:
    shop.good()
    shutil.rmtree(shop.content / "instruments" / "wren")
    outcome = shop.good()
    assert (outcome.kept, outcome.missing) == ((), ())
    assert "Room 12" not in "".join(pages(shop.public()) + pages(shop.bench()))
    assert not [path for path in (*shop.public(), *shop.bench()) if "wren" in path]


def test_pages_of_an_instrument_that_is_renamed_move(shop: Shop) -> None:
    shop.good()
    token = shop.tokens()["marsh"]
    folder = shop.content / "instruments"
    (folder / "heron").rename(folder / "egret")
    outcome = shop.good()
    assert outcome.minted == ()
    assert shop.tokens()["marsh"] == token
    assert "egret/index.html" in shop.site("marsh")
    assert not [path for path in shop.public() if "heron" in path]


def test_nothing_is_ever_written_among_the_notes(shop: Shop) -> None:
    before = files(shop.content), times(shop.content)
    shop.good()
    shop.build("marsh")
    shop.write(VISIT, "---\nfound: H4 +2\n---\nTuned.\n")
    mistaken = files(shop.content), times(shop.content)
    shop.build()
    assert (files(shop.content), times(shop.content)) == mistaken
    shop.write(VISIT, NOTES[VISIT])
    assert files(shop.content) == before[0]


def test_every_link_of_every_page_arrives(shop: Shop) -> None:
    shop.good()
    site = read_site(shop.out)
    assert len(site.links) > 50
    assert faults(site) == []


def test_a_shop_without_anything_else_is_built(shop: Shop) -> None:
    for folder in ("clients", "instruments"):
        shutil.rmtree(shop.content / folder)
    outcome = shop.good()
    assert (outcome.built, outcome.minted) == ((), ())
    assert sorted(shop.public()) == [".htaccess", "404.html", "_headers", "robots.txt"]
    assert {"index.html", "due.html", "open.html"} <= shop.bench().keys()


def test_a_client_without_an_instrument_has_no_address(shop: Shop) -> None:
    shop.write("clients/newcomer.md", "---\nname: The Newcomers\n---\n")
    outcome = shop.good()
    assert outcome.minted == ("marsh", "school")


def test_an_instrument_without_a_visit_has_a_page(shop: Shop) -> None:
    shop.write(OWL, "---\nclient: marsh\ntitle: The owl grand\n---\n")
    outcome = shop.good()
    assert outcome.built == ("heron", "owl", "robin", "wren")
    assert "The owl grand" in shop.page("marsh", "owl/index.html")
    assert faults(read_site(shop.out)) == []


def test_a_photograph_that_is_no_picture_stops_its_own_instrument(shop: Shop) -> None:
    shop.good()
    heron = shop.site("marsh")
    shop.write("instruments/heron/media/pins.jpg", "the card was damaged")
    shop.says(VISIT, "work: tuning\n", "work: tuning\nphotos: pins.jpg the pins\n")
    outcome = shop.build()
    (error,) = errors(outcome)
    assert error == (
        f"{VISIT}:6:9: error: The pages of heron could not be made. "
        "pins.jpg is no picture, or a damaged one; it must be a JPEG, PNG or WebP file."
    )
    assert (outcome.built, outcome.kept) == (("robin", "wren"), ("heron",))
    assert shop.site("marsh") == heron


def test_a_photograph_that_is_too_large_stops_its_own_instrument(shop: Shop) -> None:
    shop.write("instruments/heron/media/scan.jpg", bytes(33 * 1024 * 1024))
    shop.says(VISIT, "work: tuning\n", "work: tuning\nphotos: scan.jpg the pins\n")
    outcome = shop.build()
    (error,) = errors(outcome)
    assert error == (
        f"{VISIT}:6:9: error: scan.jpg cannot be opened: larger than 32 MB. "
        "Give yourself the right to read it, or put a smaller one in its place."
    )
    assert (outcome.built, outcome.missing) == (("robin", "wren"), ("heron",))
    assert outcome.minted == ("school",)


def test_a_logo_that_is_no_picture_is_told_once_and_stops_all(shop: Shop) -> None:
    shop.good()
    public = shop.public()
    shop.write("logo.png", "not drawn yet")
    shop.says("shop.md", "currency: USD\n", "currency: USD\nlogo: logo.png\n")
    outcome = shop.build()
    (error,) = errors(outcome)
    assert error == (
        "shop.md:6:7: error: No page could be made. logo.png is no picture, or a damaged one; "
        "it must be a JPEG, PNG or WebP file."
    )
    assert outcome.kept == ("heron", "robin", "wren")
    assert shop.public() == public


def pages(tree: dict[str, bytes]) -> list[str]:
    return [data.decode() for path, data in tree.items() if path.endswith((".html", ".json"))]


def times(folder: Path) -> dict[str, int]:
    return {
        path.relative_to(folder).as_posix(): path.stat().st_mtime_ns for path in folder.rglob("*")
    }


def test_a_theme_with_a_broken_table_of_colours_stops_the_build_and_is_pointed_at(
    shop: Shop,
) -> None:
    shop.good()
    before = shop.public()
    shop.write("theme/colours.toml", "[light]\npaper = 1\n")
    outcome = shop.build()
    assert errors(outcome) == [
        (
            "theme/colours.toml:1:1: error: colours.toml: [light] paper is no colour such as "
            "#2f5d50. Mend it, or take the file away: the house's own is then used."
        )
    ]
    assert not outcome.published
    assert shop.public() == before


def test_what_a_killed_build_left_half_written_in_the_state_is_cleared(shop: Shop) -> None:
    shop.good()
    left = shop.state / ".links.json.bak.6690.140344660122496.new"
    left.write_bytes(b"{")
    shop.says(VISIT, "fine piece", "lovely piece")
    shop.good()
    assert not left.exists()
