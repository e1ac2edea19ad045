import re
import shutil
from pathlib import Path
from tempfile import TemporaryDirectory

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from dossier.publish.check import Pages, tokens_in
from dossier.store import Held, Memory, Store, key_of

SITE = {
    "index.html": b'<!doctype html><link rel="stylesheet" href="assets/a.css">'
    b'<a href="heron/">Heron</a> <a href="heron/index.html#visit-2026-03-14">Spring</a>'
    b'<a href="https://example.org/">Guild</a> <a href="mailto:wren@example.org">Write</a>'
    b'<a href="tel:+441632960123">Call</a> <a href="#">Top</a> <a href="">Here</a>',
    "heron/index.html": "<h2 id='visit-2026-03-14'>March</h2> <p id='Für'></p>"
    '<a href="..">All</a> <a href="../#top">Top</a> <a href="#F%C3%BCr">für</a>'
    '<a href="dossier.pdf#page=2">PDF</a> <img src="d4.jpg" srcset="d4.jpg 1x, d4.jpg 2x">'
    '<svg><clipPath id="c"/><g clip-path="url(#c)"/><use xlink:href="#c"/></svg>'.encode(),
    "heron/dossier.pdf": b"%PDF-1.7",
    "heron/d4.jpg": b"\xff\xd8",
    "assets/a.css": b"@font-face{src:url('b.woff2')} body{background:url(c.svg)}",
    "assets/b.woff2": b"wOF2",
    "assets/c.svg": b'<svg><defs><g id="g"/></defs><use href="#g"/></svg>',
}


def found(page: str, path: str = "heron/index.html") -> list[str]:
    return [
        str(fault) for fault in Pages({**SITE, path: page.encode()}).faults() if fault.page == path
    ]


def test_a_sound_site_has_no_fault() -> None:
    assert Pages(SITE).faults() == ()


@pytest.mark.parametrize(
    ("page", "fault"),
    [
        ('<a href="../swan/">', "“../swan/” leads to a file that isn't there."),
        ('<a href="../swan">', "“../swan” leads to a file that isn't there."),
        ('<a href="dossier.pdf/">', "“dossier.pdf/” leads to a file that isn't there."),
        ('<a href="../../other/">', "“../../other/” leads out of the folder."),
        ('<a href="../..">', "“../..” leads out of the folder."),
        ('<a href="%2e%2e/%2e%2e/other/">', "“%2e%2e/%2e%2e/other/” leads out of the folder."),
        ('<a href="/index.html">', "“/index.html” doesn't stay within the folder."),
        ('<a href="..\\..\\other">', "“..\\..\\other” doesn't stay within the folder."),
        ('<a href="#visit-2025">', "“#visit-2025” leads to an element that isn't there."),
        ('<a href="../#heron">', "“../#heron” leads to an element that isn't there."),
        ("<A HREF = '../#heron'>", "“../#heron” leads to an element that isn't there."),
        ("<a title='>' href=../#heron>", "“../#heron” leads to an element that isn't there."),
        ('<a href="&#x2e;./#heron">', "“../#heron” leads to an element that isn't there."),
        ('<img src="d5.jpg">', "“d5.jpg” leads to a file that isn't there."),
        ('<img srcset="d4.jpg, d5.jpg 2x">', "“d5.jpg” leads to a file that isn't there."),
        ('<p style="background:url(x.png)">', "“x.png” leads to a file that isn't there."),
        ("<style>@import 'x.css';</style>", "“x.css” leads to a file that isn't there."),
        ('<g fill="url(#hatch)"/>', "“#hatch” leads to an element that isn't there."),
        ('<meta http-equiv="refresh" content="0; url=x">', "“x” leads to a file that isn't there."),
        ("<!-- <p id='x'> --><a href='#x'>", "“#x” leads to an element that isn't there."),
    ],
)
def test_an_address_that_leads_nowhere_is_named(page: str, fault: str) -> None:
    assert found(page) == [f"heron/index.html: {fault}"]


@pytest.mark.parametrize(
    ("page", "address"),
    [
        ('<img src="https://example.org/x.png">', "https://example.org/x.png"),
        ('<img src="//example.org/x.png">', "//example.org/x.png"),
        ('<img src="data:image/png;base64,AA">', "data:image/png;base64,AA"),
        ('<link rel="stylesheet" href="https://example.org/x">', "https://example.org/x"),
        ('<base href="https://example.org/">', "https://example.org/"),
        ('<a href="//example.org/">', "//example.org/"),
        ('<a href="http://example.org/">', "http://example.org/"),
        ('<a href="javascript:alert(1)">', "javascript:alert(1)"),
        ('<a href="file:///home/wren/notes">', "file:///home/wren/notes"),
    ],
)
def test_only_a_link_leads_to_the_web_and_only_safely(page: str, address: str) -> None:
    why = "leads out of the pages, and is no link to https, mail or tel"
    assert found(page) == [f"heron/index.html: “{address}” {why}."]


def test_a_style_sheet_and_a_drawing_are_looked_into() -> None:
    assert found("p{background:url(d.svg)}", "assets/a.css") == [
        "assets/a.css: “d.svg” leads to a file that isn't there."
    ]
    assert found('<svg><use href="#h"/></svg>', "assets/c.svg") == [
        "assets/c.svg: “#h” leads to an element that isn't there."
    ]


def test_an_address_that_stands_in_plain_text_is_no_address() -> None:
    assert found("<p>Write href=&quot;x&quot; or url(x), or &lt;a href='x'&gt;.</p>") == []


def test_a_token_is_found_in_whatever_surrounds_it() -> None:
    mine, other = "a" * 32, "0123456789abcdefghij" * 2
    tokens = frozenset({mine, other})
    page = f'<a href="../{other}/">'.encode()
    assert tokens_in(page, tokens) == {other}
    assert tokens_in(f"x{mine}y".encode(), tokens) == {mine}
    assert tokens_in(b"\xff\xd8" + mine.encode() + b"\0", tokens) == {mine}
    assert tokens_in(mine[:-1].encode(), tokens) == frozenset()
    assert tokens_in(b"0" * 64, tokens) == frozenset()


@given(st.lists(st.binary(max_size=3) | st.from_regex(rb"[0-9a-z]{30,34}", fullmatch=True)))
def test_whatever_bytes_surround_a_token_it_is_found(parts: list[bytes]) -> None:
    data = b"".join(parts)
    runs = re.findall(rb"[0-9a-z]{32,}", data)
    tokens = frozenset({run[:32].decode() for run in runs} | {run[-33:].decode() for run in runs})
    assert tokens_in(data, tokens | {"0" * 40}) >= tokens
    with TemporaryDirectory() as folder:
        known = Memory(Path(folder))
        Pages({"a.html": data}, known).look()
        again = Pages({"b/c.html": data}, known)
        assert again.tokens("b/c.html", tokens | {"0" * 40}) == tokens_in(data, tokens | {"0" * 40})
    assert all(token.encode() in data for token in tokens_in(data, tokens | {"0" * 40}))


def test_where_pages_lead_is_remembered_by_their_content_and_judged_anew(tmp_path: Path) -> None:
    known = Memory(tmp_path)
    broken = {**SITE, "heron/index.html": b'<a href="../swan/">Swan</a> <a href="../#top">Top</a>'}
    assert Pages(SITE, known).faults() == ()
    assert Pages(broken, known).faults() == Pages(broken).faults() != ()
    assert Pages(broken, known).faults() == Pages(broken).faults()
    less = {path: data for path, data in SITE.items() if path != "assets/b.woff2"}
    assert Pages(less, known).faults() == Pages(less).faults() != ()


def test_a_page_that_is_known_is_not_read(tmp_path: Path) -> None:
    known, store = Memory(tmp_path / "known"), Store(tmp_path / "store")
    held = {path: Held(store, store.put(data)) for path, data in SITE.items()}
    Pages(held, known).faults()
    shutil.rmtree(tmp_path / "store")
    assert Pages(held, known).faults() == ()


NAMES = ("index.html", "heron/index.html", "heron/chart.svg", "note.css")
WHERE = st.sampled_from(
    ("", "index.html", "heron/", "chart.svg", "../", "#top", "../#a", "#a", "#b")
)
TEXTS = st.lists(
    st.builds('<a href="{}">x</a>'.format, WHERE) | st.sampled_from(('<p id="a">', '<p id="b">')),
    max_size=3,
)


@given(
    st.dictionaries(st.sampled_from(NAMES), TEXTS.map("".join)),
    st.dictionaries(st.sampled_from(NAMES), st.none() | TEXTS.map("".join)),
)
def test_after_a_sound_tree_what_changed_is_all_that_needs_a_look(
    old: dict[str, str], changes: dict[str, str | None]
) -> None:
    """Pages that stay can only be broken by what is gone."""
    before = {path: text.encode() for path, text in old.items()}
    with TemporaryDirectory() as folder:
        known = Memory(Path(folder))
        assume(not Pages(before, known).faults())
        later = {**old, **changes}
        after = {path: text.encode() for path, text in later.items() if text is not None}
        sums = {path: key_of(data) for path, data in before.items()}
        assert Pages(after, known).faults({"./": "folder", **sums}) == Pages(after).faults()
        assert Pages(after).faults(sums) == Pages(after).faults(), "where nothing is known"
