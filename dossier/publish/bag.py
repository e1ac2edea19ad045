"""An issued folder as a bag (BagIt 1.0, RFC 8493), which archives and museums take in.

The standard leaves some freedom in how its lists are written; here it is used in one way only, so
that a reader can write each list again and compare, and a byte that changed anywhere is noticed.
"""

from __future__ import annotations

import hashlib
import re
from collections.abc import Mapping

from dossier.publish.seal import is_path
from dossier.store import Content, bytes_of, key_of

DECLARATION, INFO = "bagit.txt", "bag-info.txt"
PAYLOAD_SUMS, TAG_SUMS = "manifest-sha256.txt", "tagmanifest-sha256.txt"
PAYLOAD = "data/"
FETCH = "fetch.txt"
LISTS_LIMIT = 4_000_000  # bytes; ten thousand files need about 1.2 MB
DECLARED = b"BagIt-Version: 1.0\nTag-File-Character-Encoding: UTF-8\n"
_LINE = re.compile(r"([0-9a-f]{64})  (.+)")
# What would end a line early, and what tells it (RFC 8493, 2.1.3).
_ESCAPES = {"%": "%25", "\n": "%0A", "\r": "%0D"}


class BagError(ValueError):
    """Why a list of a bag can't be trusted, as a sentence."""


def bagged(files: Mapping[str, Content], info: Mapping[str, str]) -> dict[str, Content]:
    """The bag that carries these files as its payload, path by path.

    `info` becomes bag-info.txt, in its order (RFC 8493, 2.2.2, has the reserved names);
    Payload-Oxum is worked out here.  Nothing else is added, no date either.

    Raises ValueError for a path that does not stay in the folder, and LostError where a store lost
    the content of a file.
    """
    if wrong := next((path for path in files if not is_path(path)), None):
        raise ValueError(f"“{wrong}” can't be the path of a file in a bag")
    payload = {f"{PAYLOAD}{path}": files[path] for path in sorted(files)}
    octets = sum(len(bytes_of(content)) for content in payload.values())
    lines = {**info, "Payload-Oxum": f"{octets}.{len(payload)}"}
    tags: dict[str, Content] = {
        DECLARATION: DECLARED,
        INFO: "".join(f"{name}: {' '.join(lines[name].split())}\n" for name in lines).encode(),
        PAYLOAD_SUMS: sum_list({path: key_of(payload[path]) for path in payload}),
    }
    tags[TAG_SUMS] = sum_list({path: key_of(tags[path]) for path in tags})
    return {**tags, **payload}


def sum_list(sums: Mapping[str, str]) -> bytes:
    """A list of sums as bags have it: sum, two blanks and path, in the order of the paths."""
    return "".join(f"{sums[path]}  {_escaped(path)}\n" for path in sorted(sums)).encode()


def read_list(name: str, data: bytes) -> dict[str, str]:
    """The sums in a list of that name, by path.

    Raises BagError where it is written otherwise than `sum_list` writes it.
    """
    try:
        lines = data.decode().split("\n")
        found = [_LINE.fullmatch(line) for line in lines[:-1]]
        sums = {_plain(match[2]): match[1] for match in found if match}
        if all(found) and all(is_path(path) for path in sums) and sum_list(sums) == data:
            return sums
    except ValueError:
        pass
    raise BagError(f"{name} was changed: it is not written as a list of sums is issued.")


def sum_of(data: bytes) -> str:
    """The SHA-256 sum of bytes, as every list here has it."""
    return hashlib.sha256(data).hexdigest()


def _escaped(path: str) -> str:
    return "".join(_ESCAPES.get(letter, letter) for letter in path)


def _plain(path: str) -> str:
    for letter, escape in reversed(_ESCAPES.items()):
        path = path.replace(escape, letter)
    return path
