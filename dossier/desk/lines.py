"""The lines of a note that is begun for its writer: those that tell, and keys that wait behind a #.

A line that tells is `# text`.  A key that waits is `#key: value`: with its # taken off it stands in
the first column, as every key of a note does.
"""

from __future__ import annotations

import json
import re
from collections.abc import Iterable, Sequence
from decimal import Decimal

_PLAIN = re.compile(r"[^\W_](?:[^:#\n]|:(?=\S)|(?<=\S)#)*", re.DOTALL)
_YAML_WORDS = frozenset(("null", "~"))


def tell(text: str) -> str:
    """A line that only tells something, on one line whatever it was made of."""
    return f"# {' '.join(text.split())}".rstrip()


def wait(key: str, *values: str) -> tuple[str, ...]:
    """A key with one value or a list of them, each behind a # until its writer takes it off."""
    if len(values) < 2:
        return (f"#{key}: {''.join(values)}",)
    return (f"#{key}:", *(f"#  - {value}" for value in values))


def scalar(text: str) -> str:
    """A text as a YAML value: as it is where that is safe, else in double quotes."""
    text = " ".join(text.split())
    if _PLAIN.fullmatch(text) and not text.endswith(":") and text.casefold() not in _YAML_WORDS:
        return text
    return json.dumps(text, ensure_ascii=False)


def number(value: Decimal | float, *, sign: bool = False) -> str:
    """A figure without needless zeros, as a person writes it; with `sign`, a plus before it."""
    shown = f"{Decimal(str(value)).normalize():f}"
    return f"+{shown}" if sign and not shown.startswith("-") and shown != "0" else shown


def without_offers(text: str, begun: str) -> str:
    """The note as its writer leaves it: what was offered behind a # and not used is taken out.

    Only lines of the front matter that stand exactly as they were offered go; every line that a
    person wrote or changed stays.
    """
    offered = {line for line in _front(begun.split("\n")) if line.startswith("#")}
    lines = text.split("\n")
    front = list(_front(lines))
    kept = [line for line in front if line.rstrip("\r") not in offered and line.strip()]
    return "\n".join([*lines[:1], *kept, *lines[1 + len(front) :]])


def _front(lines: Sequence[str]) -> Iterable[str]:
    """The lines between those of dashes; none where the text has no front matter."""
    marks = [at for at, line in enumerate(lines) if line.rstrip() == "---"]
    return lines[1 : marks[1]] if len(marks) > 1 and marks[0] == 0 else ()
