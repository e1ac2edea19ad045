"""How a bag (BagIt 1.0, RFC 8493) lists the sums of its files, written and read.

The standard leaves some freedom in how a list is written; here it is used in one way only, so that
a reader can write each list again and compare, and a byte that changed anywhere is noticed.
"""

from __future__ import annotations

import re
from collections.abc import Mapping

from dossier.publish.seal import is_path

DECLARATION, INFO = "bagit.txt", "bag-info.txt"
PAYLOAD_SUMS, TAG_SUMS = "manifest-sha256.txt", "tagmanifest-sha256.txt"
PAYLOAD = "data/"
_LINE = re.compile(r"([0-9a-f]{64})  (.+)")
# What would end a line early, and what tells it (RFC 8493, 2.1.3).
_ESCAPES = {"%": "%25", "\n": "%0A", "\r": "%0D"}


class BagError(ValueError):
    """Why a list of a bag can't be trusted, as a sentence."""


def sum_list(sums: Mapping[str, str]) -> bytes:
    """A list of sums as bags have it: sum, two blanks and path, in the order of the paths."""
    return "".join(f"{sums[path]}  {_escaped(path)}\n" for path in sorted(sums)).encode()


def read_list(name: str, data: bytes) -> dict[str, str]:
    """The sums in a list of that name, by path.

    Raises BagError where it is written otherwise than `sum_list` writes it.
    """
    try:
        found = [_LINE.fullmatch(line) for line in data.decode().split("\n")]
        sums = {_plain(match[2]): match[1] for match in found if match}
        if all(is_path(path) for path in sums) and sum_list(sums) == data:
            return sums
    except ValueError:
        pass
    raise BagError(f"{name} was changed: it is not written as a list of sums is issued.")


def _escaped(path: str) -> str:
    return "".join(_ESCAPES.get(letter, letter) for letter in path)


def _plain(path: str) -> str:
    for letter, escape in reversed(_ESCAPES.items()):
        path = path.replace(escape, letter)
    return path
