"""The manifest that guards itself, and the lists of a bag: no byte can change without notice."""

from __future__ import annotations

import hashlib
import json
import random
from collections.abc import Callable

import pytest

from dossier.publish.bag import BagError, read_list, sum_list
from dossier.publish.seal import MANIFEST_LIMIT, SealError, opened, sealed
from tests.publish.statement import with_byte

FILES = {"statement.pdf": b"%PDF-1.7", "assets/site-1.css": b"p{}"}
FACTS: dict[str, str | int] = {"instrument": "heron", "edition": "sale", "number": 2}
SUM = "0" * 64
CHANGED = "manifest.json was changed: its seal does not agree with what it says."
NO_LIST = "manifest.json has no list of files, or no seal."
NO_JSON = "manifest.json can't be read: it is no text of JSON."
NO_PATH = "manifest.json names a file by no path within the folder, or by no sum."


def resealed(**entries: object) -> bytes:
    """A manifest of other content, written as a forger would who knows how it is sealed."""
    from dossier.publish.seal import _with_seal

    return _with_seal({"version": 1, "files": {"index.html": SUM}, **entries})


def test_a_manifest_says_of_what_edition_it_is_and_has_each_sum() -> None:
    manifest = opened(sealed(FILES, FACTS))
    assert manifest.facts == FACTS
    assert list(manifest.files) == ["assets/site-1.css", "statement.pdf"]
    assert manifest.files["assets/site-1.css"] == hashlib.sha256(b"p{}").hexdigest()
    assert len(manifest.seal) == 64


def test_the_same_files_in_any_order_have_the_same_manifest() -> None:
    assert sealed(FILES, FACTS) == sealed(dict(reversed(FILES.items())), FACTS)
    assert sealed(FILES, FACTS) != sealed({**FILES, "more.txt": b""}, FACTS)


def test_every_byte_of_a_manifest_is_guarded() -> None:
    data = sealed(FILES, FACTS)
    dice = random.Random(1)
    for place in range(len(data)):
        with pytest.raises(SealError):
            opened(with_byte(data, place, dice.randrange(256)))
    for other in (data + b"\n", data[:-1], b" " + data, b"\xef\xbb\xbf" + data, b""):
        with pytest.raises(SealError):
            opened(other)


def test_a_manifest_laid_out_anew_is_a_changed_one() -> None:
    document = json.loads(sealed(FILES, FACTS))
    with pytest.raises(SealError) as caught:
        opened(json.dumps(document).encode())
    assert str(caught.value) == CHANGED


@pytest.mark.parametrize(
    "path", ["../x", "/x", "a//b", "a/./b", "", "a\\b", "a\0b", "a/", "manifest.json"]
)
def test_a_path_that_leaves_the_folder_is_not_sealed(path: str) -> None:
    with pytest.raises(ValueError, match="can't be the path of an issued file"):
        sealed({path: b"x"}, FACTS)


def test_a_fact_can_not_pass_for_an_entry_of_the_manifest() -> None:
    with pytest.raises(ValueError, match=r"^“seal” is an entry of the manifest's own$"):
        sealed(FILES, {"seal": "x"})


@pytest.mark.parametrize(
    ("data", "why"),
    [
        (b"\xff\xfe", NO_JSON),
        (b"{", NO_JSON),
        (b"[" * 100_000, NO_JSON),
        (b'{"a":' * 100_000, NO_JSON),
        (b'{"version": ' + b"9" * 5000 + b"}", NO_JSON),
        (b"[]", NO_LIST),
        (b"null", NO_LIST),
        (b'{"files": [], "seal": ""}', NO_LIST),
        (b'{"files": {}, "seal": 1}', NO_LIST),
        (resealed(version=2), "manifest.json is not of version 1, the only one known here."),
        (resealed(version=True), "manifest.json is not of version 1, the only one known here."),
        (resealed(version=1.0), "manifest.json is not of version 1, the only one known here."),
        (resealed(files={"../../etc/passwd": SUM}), NO_PATH),
        (resealed(files={"/etc/passwd": SUM}), NO_PATH),
        (resealed(files={"index.html": None}), NO_PATH),
        (resealed(files={"index.html": SUM.upper() + "A"}), NO_PATH),
        (resealed(number=None), "manifest.json says what is neither a text nor a number."),
        (resealed(number={"a": []}), "manifest.json says what is neither a text nor a number."),
        (resealed(number=float("nan")), "manifest.json says what is neither a text nor a number."),
        (b'{"version": 1, "files": {}, "edition": "\\ud800", "seal": ""}', CHANGED),
        (b'{"version": 1, "files": {}, "files": {}, "seal": ""}', CHANGED),
        (b" " * (MANIFEST_LIMIT + 1), "manifest.json is larger than any that was issued."),
    ],
    ids=lambda one: str(one[:30]),
)
def test_a_hostile_manifest_is_told_in_a_sentence(data: bytes, why: str) -> None:
    with pytest.raises(SealError) as caught:
        opened(data)
    assert str(caught.value) == why


ODD = {
    "data/a b.pdf": SUM,
    "data/50%.txt": SUM,
    "data/two\nlines.txt": SUM,
    "data/%0A.txt": SUM,
    "data/♯ e\u0301.svg": SUM,
}


def test_a_list_of_sums_is_read_as_it_was_written() -> None:
    data = sum_list(ODD)
    assert data.splitlines()[0] == SUM.encode() + b"  data/%250A.txt"
    assert read_list("manifest-sha256.txt", data) == ODD


@pytest.mark.parametrize(
    "other",
    [
        lambda data: data.replace(b"  ", b" \t", 1),
        lambda data: data.replace(b"  ", b" ", 1),
        lambda data: data.replace(b"\n", b"\r\n", 1),
        lambda data: data[:-1],
        lambda data: data + b"\n",
        lambda data: b"".join(reversed(data.splitlines(keepends=True))),
        lambda data: data.replace(b"50%25", b"50%"),
        lambda data: data.replace(b"0" * 64, b"A" + b"0" * 63, 1),
        lambda data: data.replace(b"data/", b"data/../", 1),
        lambda data: data + b"\xff",
    ],
)
def test_a_list_of_sums_written_in_any_other_way_was_changed(
    other: Callable[[bytes], bytes],
) -> None:
    with pytest.raises(BagError) as caught:
        read_list("manifest-sha256.txt", other(sum_list(ODD)))
    assert str(caught.value) == (
        "manifest-sha256.txt was changed: it is not written as a list of sums is issued."
    )
