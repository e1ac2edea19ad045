"""What goes wrong in lists: items without a space, keys below a sentence, items out of place."""

from __future__ import annotations

import re

from dossier.diagnostics import Diagnostic, Fix, Span
from dossier.read.pieces import quote
from dossier.read.work_kinds import kind_of_work
from dossier.read.yaml_trouble import Told, Trouble

# What a hyphen begins where no figure follows it.
_TO_WORDS = r"(?=[^\W\d]|[ \t(\"'“‘])"
_LISTED = re.compile(rf"[-–—•]{_TO_WORDS}")
_LISTED_BELOW = re.compile(rf"\n[ \t]*(?P<sign>-){_TO_WORDS}")
# By what key an item begins that is written as a map, below the keys that take one.
_ITEM_KEYS: tuple[tuple[str, tuple[str, ...]], ...] = (
    ("what", ("problem", "problems", "advice", "next")),
    ("problem", ("watched", "diagnosed", "fixed", "reopened")),
    ("advice", ("agreed", "declined", "done")),
    ("file", ("photos", "photo", "pictures", "picture", "audio", "video")),
)


def folded_list(
    value: str, file: str, line: int, column: int, *, at_start: bool, key: bool
) -> Diagnostic | None:
    """A list that YAML folds into one value, because a hyphen has no space or a line no hyphen.

    `value` is the source of an unquoted value that begins at `line` and `column`; `at_start` says
    that nothing but the indent stands before it, `key` that it is a key.
    """
    first = value.split("\n", 1)[0].rstrip()
    if _LISTED.match(value) and (at_start or value[0] == "-"):
        bare = first[1:].strip()
        hint, place = f"Write a space after the hyphen: - {bare}", Span(file, line, column, 1)
        fix: Fix | None = Fix(place, value[0], "-" if value[1].isspace() else "- ")
        if key:
            hint = f"Write a space after the hyphen where it begins an item, as in - {bare}:"
        elif not at_start:
            fix = None
            hint = f"Leave the hyphen out, or write - {bare} on a line of its own below the key."
        elif value[0] != "-":
            hint = f"Write a hyphen and a space: - {bare}"
        message = f"{quote(first)} is not read as a list item."
        return Diagnostic("yaml-dash-space", message, place, hint, fix=fix)
    if match := _LISTED_BELOW.search(value):
        at = match.start("sign")
        return Diagnostic(
            "yaml-list-folded",
            f"This line begins like a list item, but is read as more of {quote(first)}.",
            Span(file, line + value.count("\n", 0, at), at - value.rfind("\n", 0, at), 1),
            'Write every item on a line of its own below the key, each after "- ".',
        )
    return None


def list_on_key_line(trouble: Trouble) -> Told | None:
    """`work: - tuning`: a list begins below its key."""
    if "block sequence entries" not in trouble.problem:
        return None
    return Told(
        "yaml-list-place",
        "A list item stands on the line of its key.",
        'Write the first "- " on the next line, or leave the dash out where there is one item.',
        trouble.line, trouble.column, 1,
    )  # fmt: skip


def item_with_keys(trouble: Trouble) -> Told | None:
    """A list item that is a sentence, with keys below it that belong to no key of the item."""
    match = re.match(r"(?P<indent>\s*)(?P<key>[^:\s-][^:]*):(?:\s|$)", trouble.text(trouble.line))
    item = match and _item_above(trouble, len(match["indent"]))
    if match is None or item is None:
        return None
    key, owner = match["key"].strip(), _owner(trouble)
    if owner == "work":
        what, hint = "its kind", f"Write it like - {_with_kind(item)}"
    else:
        first = next((first for first, owners in _ITEM_KEYS if owner in owners), "text")
        what, hint = "a key of its own", f"Write it like - {first}: {item}"
    return Told(
        "yaml-item-keys", f'The item above "{key}" needs {what} first.', hint,
        trouble.line, len(match["indent"]), len(key),
    )  # fmt: skip


def _with_kind(item: str) -> str:
    """A piece of work as it is written where more keys stand below it."""
    kind = kind_of_work(item)
    kind = "repair" if kind == "other" else kind
    return f"{kind}: what was done" if item == kind else f"{kind}: {item}"


def _item_above(trouble: Trouble, indent: int) -> str | None:
    """The sentence of the list item that a line with this indent stands below."""
    words: list[str] = []
    for line in range(trouble.line - 1, -1, -1):
        text = re.sub(r"(?:^|\s)#.*", "", trouble.text(line)).rstrip()
        if re.search(r":(?:\s|$)", text):
            return None
        item = re.match(r"(?P<indent>\s*)- +(?P<text>.*)", text)
        words.insert(0, item["text"] if item else text)
        if item:
            return " ".join(" ".join(words).split()) if len(item["indent"]) < indent else None
    return None


def _owner(trouble: Trouble) -> str:
    """The key that the list belongs to."""
    keys = (
        re.match(r"(?P<key>[^\s:#-][^:(]*)", trouble.text(line))
        for line in range(trouble.line - 1, -1, -1)
    )
    return next((match["key"].strip().casefold() for match in keys if match), "")


def list_ends(trouble: Trouble) -> Told | None:
    """Something between two items that is neither an item nor the next key."""
    if "'-' indicator" not in trouble.problem:
        return None
    text = trouble.text(trouble.line)
    return Told(
        "yaml-list-end",
        f"{quote(text)} stands in a list but is no item of it.",
        'Begin an item with "- ", and a key in the column of the other keys.',
        trouble.line, trouble.column, len(text) - trouble.column,
    )  # fmt: skip
