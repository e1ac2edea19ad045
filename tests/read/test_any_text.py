"""No text whatever makes the reader fail: it reads, or says what is wrong."""

from __future__ import annotations

from hypothesis import given, settings
from hypothesis import strategies as st

from dossier.diagnostics import Severity
from tests.read.tiny_shop import VISIT, read, read_all

FILES = (
    "shop.md",
    "clients/marsh.md",
    "rooms/parlour.md",
    "rooms/parlour/a.csv",
    "instruments/heron/instrument.md",
    "instruments/heron/scale.csv",
    "instruments/heron/visits/2026-03-14.md",
    "rounds/2026-03-02.md",
    "inbox/2026-03-02.md",
)
WORDS = (
    "found:", "left:", "air:", "A4", "H4", "+6", "-3", "442", "Hz", "10", "mm", "D#1", "-",
    "---", "problem:", "(lyre)", ":", ",", "#", "'", "[", "]", "{", "}", "|", ">", "&a", "*a",
    "!x", "work:", "tuning", "repair:", "warranty:", "advice:", "condition:", "fixed:",
    "next:", "photos:", ":::", "%", "@", "F3-B3", "clear:", "checked:", "all", "corrected:",
    "2026-03-20", "fee:", "1/0", "½", "−", "client:", "date:", "stands:", "made:", "1912~",
    "provenance:", "compass:", "A0-C8", "breaks:", "targets:", "consent:", "name:", "title:",
    "release:", "sale", "clocks:", "climate:", "thresholds:", "marks:", "?", "`", "\\",
    "lyre", "creaks", "not", "examined", "October", "pins.jpg", "°C", ":::", "bench",
)  # fmt: skip
SPACED = (
    "key dip:", "sticking keys:", "45 min", "40 USD", "1 year", "before October", "keys: fair",
    "G4 buzz", "humidity equipment:", "next service", "\n", "  ", "\t", "\r\n", '"',
    "measured kinds:", "| instrument | found |", "|---|---|", "| wren | 8 |", "::: bench",
    "9" * 30, "\x00", "\x85", "\ufeff", "\u202e",
)  # fmt: skip
words = st.lists(st.sampled_from((*WORDS, *SPACED)) | st.text(max_size=4), max_size=40)
texts = words.map(" ".join) | words.map("".join)
heads = st.sampled_from(
    (
        "",
        "---\n",
        "---\nname: x\ntechnician: y\nclient: marsh\ntitle: x\ninstrument: heron\n",
        "time,temp °C\n",
        "note,length_mm,diameter_mm\n",
    )
)
tails = st.sampled_from(("", "\n---\n", "\n---\nFine.\n::: bench\nNot so fine."))
relaxed = settings(max_examples=150, deadline=None)


@relaxed
@given(file=st.sampled_from(FILES), head=heads, text=texts, tail=tails)
def test_no_text_makes_the_reader_fail(file: str, head: str, text: str, tail: str) -> None:
    raw = (head + text + tail).encode("utf-8", "surrogatepass")
    notebook, found = read_all({file: raw})
    assert notebook is not None or any(one.severity is Severity.ERROR for one in found)


@relaxed
@given(file=st.sampled_from(FILES), raw=st.binary(max_size=200))
def test_no_bytes_make_the_reader_fail(file: str, raw: bytes) -> None:
    _, found = read_all({file: raw})
    for one in found:
        assert one.span.line >= 1
        assert one.span.column >= 1
        assert one.message.endswith((".", "?"))


@relaxed
@given(text=texts)
def test_what_stands_below_a_fence_for_the_bench_is_never_the_owners(text: str) -> None:
    canary = "the dog bites"
    notebook, _ = read({VISIT: f"Fine.\n\n::: bench\n{text}\n{canary}\n"})
    shown = [
        passage.markdown
        for visit in notebook.visits["heron"]
        for passage in visit.passages
        if passage.audience == "owner"
    ]
    assert canary not in "".join(shown) or ":::" in text
