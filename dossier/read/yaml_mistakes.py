"""What went wrong where YAML can't read a front matter, in words for someone who writes notes.

The rules are an ordered tuple: the first that knows the mistake explains it.  They look at the
text around the place where the parser gave up, and at what kind of thing it was reading.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass

import yaml

from dossier.diagnostics import Diagnostic, Span
from dossier.read.pieces import quote

_MISSING_SPACE = re.compile(r"\s*(?:- )?(?P<key>[^\W\d][\w #-]*):(?P<value>[^\s:/][^:]*)")
_MISSING_SPACE_DASH = re.compile(r"\s*-(?P<value>[^\s-].*)")
# What a hyphen begins where no figure follows it.
_TO_WORDS = r"(?=[^\W\d]|[ \t(\"'“‘])"
_LISTED = re.compile(rf"[-–—•]{_TO_WORDS}")
_LISTED_BELOW = re.compile(rf"\n[ \t]*(?P<sign>-){_TO_WORDS}")
# By what key an item begins that is written as a map, below the keys that take one.
_ITEM_KEYS: tuple[tuple[str, tuple[str, ...]], ...] = (
    ("what", ("problem", "problems", "advice", "next")),
    ("file", ("photos", "photo", "pictures", "picture", "audio")),
)
_KEY_VALUE = re.compile(r"(?P<indent>\s*)(?P<dash>- +)?(?P<key>[^:\s][^:]*):[ \t]+(?P<value>\S.*)")
_SIGNS = "*&@%`!|>?,]}"


@dataclass(frozen=True, slots=True)
class _Trouble:
    """Where the parser gave up (`line`, `column`) and where the thing it was reading began."""

    lines: list[str]
    problem: str
    context: str
    line: int
    column: int
    begun_line: int
    begun_column: int

    def text(self, line: int) -> str:
        return self.lines[line] if 0 <= line < len(self.lines) else ""

    @property
    def sign(self) -> str:
        return self.text(self.line)[self.column : self.column + 1]


@dataclass(frozen=True, slots=True)
class _Told:
    code: str
    message: str
    hint: str
    line: int
    column: int = 0
    width: int = 0


Rule = Callable[[_Trouble], _Told | None]


def explain(front: str, file: str, first_line: int, error: yaml.YAMLError) -> Diagnostic:
    """The finding for an error of PyYAML's, which never reaches a person in its own words."""
    lines = front.split("\n")
    mark = getattr(error, "problem_mark", None)
    begun = getattr(error, "context_mark", None) or mark
    trouble = _Trouble(
        lines,
        str(getattr(error, "problem", "") or ""),
        str(getattr(error, "context", "") or ""),
        mark.line if mark else 0,
        mark.column if mark else 0,
        begun.line if begun else 0,
        begun.column if begun else 0,
    )
    told = next((told for rule in RULES if (told := rule(trouble))), None) or _unknown(trouble)
    span = Span(file, first_line + told.line, told.column + 1, told.width)
    return Diagnostic(told.code, told.message, span, told.hint)


def no_mapping(front: str, file: str, span: Span) -> Diagnostic:
    """The front matter is a list or a sentence, where keys with values are expected."""
    lines = front.split("\n")
    at = next(number for number, line in enumerate(lines) if line.strip())
    trouble = _Trouble(lines, "", "", at, 0, at, 0)
    if told := _missing_space(trouble):
        place = Span(file, span.line, told.column + 1, told.width)
        return Diagnostic(told.code, told.message, place, told.hint)
    if lines[at].lstrip().startswith("-"):
        message = "The front matter is a list, where keys with values are expected."
    else:
        message = f"{quote(lines[at])} is not a key with a value."
    return Diagnostic(
        "front-matter-no-keys", message, span, "Write each line like this: found: 8 sharp"
    )


def comment(text: str, span: Span) -> Diagnostic:
    """A `#` after a space begins a comment, so what follows it was not read."""
    return Diagnostic(
        "comment-swallowed",
        f"A # after a space begins a comment, so {quote(text)} was not read.",
        span,
        "Put the value in quotes.",
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
        hint = f"Write a space after the hyphen: - {bare}"
        if key:
            hint = f"Write a space after the hyphen where it begins an item, as in - {bare}:"
        elif not at_start:
            hint = f"Leave the hyphen out, or write - {bare} on a line of its own below the key."
        elif value[0] != "-":
            hint = f"Write a hyphen and a space: - {bare}"
        message = f"{quote(first)} is not read as a list item."
        return Diagnostic("yaml-dash-space", message, Span(file, line, column, 1), hint)
    if match := _LISTED_BELOW.search(value):
        at = match.start("sign")
        return Diagnostic(
            "yaml-list-folded",
            f"This line begins like a list item, but is read as more of {quote(first)}.",
            Span(file, line + value.count("\n", 0, at), at - value.rfind("\n", 0, at), 1),
            'Write every item on a line of its own below the key, each after "- ".',
        )
    return None


def _tab(trouble: _Trouble) -> _Told | None:
    if trouble.sign != "\t" and not re.match(r" *\t", trouble.text(trouble.line)):
        return None
    column = trouble.text(trouble.line).index("\t")
    return _Told(
        "yaml-tab", "A tab stands at the beginning of the line.", "Indent with spaces.",
        trouble.line, column, 1,
    )  # fmt: skip


def _list_on_key_line(trouble: _Trouble) -> _Told | None:
    if "block sequence entries" not in trouble.problem:
        return None
    return _Told(
        "yaml-list-place",
        "A list item stands on the line of its key.",
        'Write the first "- " on the next line, or leave the dash out where there is one item.',
        trouble.line, trouble.column, 1,
    )  # fmt: skip


def _leading_sign(trouble: _Trouble) -> _Told | None:
    """A value that begins with a sign that YAML keeps for itself."""
    for line, column in (
        (trouble.begun_line, trouble.begun_column),
        (trouble.line, trouble.column),
    ):
        text = trouble.text(line)
        sign = text[column : column + 1]
        if sign and sign in _SIGNS and re.fullmatch(r"[^'\"]*[:\[{,-]\s+|\s*", text[:column]):
            return _Told(
                "yaml-sign",
                f'A value cannot begin with "{sign}", which means something else to YAML.',
                "Put the value in quotes.",
                line, column, 1,
            )  # fmt: skip
    return None


def _quote_open(trouble: _Trouble) -> _Told | None:
    if "quoted scalar" not in trouble.context:
        return None
    sign = trouble.text(trouble.begun_line)[trouble.begun_column : trouble.begun_column + 1]
    if "escape" in trouble.problem or "hexdecimal" in trouble.problem:
        return _Told(
            "yaml-escape",
            "A backslash between double quotes begins an escape that YAML does not know.",
            "Use single quotes around the value.",
            trouble.line, max(trouble.column - 1, 0), 1,
        )  # fmt: skip
    hint = (
        "Close it, or put the whole value in double quotes where it is an apostrophe."
        if sign == "'"
        else "Write the closing quote at the end of the value."
    )
    return _Told(
        "yaml-quote-open", f"The quote {sign} that begins here is not closed.", hint,
        trouble.begun_line, trouble.begun_column, 1,
    )  # fmt: skip


def _after_quote(trouble: _Trouble) -> _Told | None:
    before = trouble.text(trouble.line)[: trouble.column].rstrip()
    if not before.endswith(("'", '"')) or not trouble.sign:
        return None
    rest = trouble.text(trouble.line)[trouble.column :]
    return _Told(
        "yaml-after-quote",
        f"{quote(rest)} stands after the closing quote of the value.",
        "Put the whole value in quotes, of the other kind where it has quotes inside.",
        trouble.line, trouble.column, len(rest),
    )  # fmt: skip


def _bracket(trouble: _Trouble) -> _Told | None:
    if "flow" not in trouble.context:
        return None
    line, column = _opening(trouble)
    sign = trouble.text(line)[column : column + 1]
    closing = {"[": "]", "{": "}"}.get(sign)
    if closing is None:
        return None
    return _Told(
        "yaml-bracket",
        f'The bracket "{sign}" that begins here is not closed where it should be.',
        f'Close it with "{closing}", or write without brackets: one item a line, each after "- ".',
        line, column, 1,
    )  # fmt: skip


def _opening(trouble: _Trouble) -> tuple[int, int]:
    """Where the bracket was opened that the parser was in: it names the place, or is past it."""
    if trouble.text(trouble.begun_line)[trouble.begun_column :][:1] in ("[", "{"):
        return trouble.begun_line, trouble.begun_column
    for line in range(min(trouble.begun_line, len(trouble.lines) - 1), -1, -1):
        text = trouble.text(line)
        column = max(text.rfind("["), text.rfind("{"))
        if column >= 0:
            return line, column
    return trouble.begun_line, trouble.begun_column


def _missing_space(trouble: _Trouble) -> _Told | None:
    for line in dict.fromkeys((trouble.begun_line, trouble.line, trouble.line - 1)):
        text = trouble.text(line)
        if match := _MISSING_SPACE.fullmatch(text):
            key = match["key"]
            return _Told(
                "yaml-colon-space",
                f'There is no space after the colon of "{key}:".',
                f"Write {key}: {match['value'].strip()}",
                line, match.start("key"), len(key) + 1,
            )  # fmt: skip
        if match := _MISSING_SPACE_DASH.fullmatch(text):
            return _Told(
                "yaml-dash-space",
                f"{quote(text.strip())} is not read as a list item.",
                f"Write a space after the hyphen: - {match['value'].strip()}",
                line, match.start("value") - 1, 1,
            )  # fmt: skip
    return None


def _second_colon(trouble: _Trouble) -> _Told | None:
    if "mapping values" not in trouble.problem:
        return None
    text = trouble.text(trouble.line)
    match = _KEY_VALUE.match(text)
    if match is None or trouble.column <= match.end("key"):
        return None
    return _Told(
        "yaml-second-colon",
        f'A second colon stands in the value of "{match["key"].strip()}".',
        f'Put the value in quotes: {match["key"].strip()}: "{match["value"].rstrip()}"',
        trouble.line, trouble.column, 1,
    )  # fmt: skip


def _item_with_keys(trouble: _Trouble) -> _Told | None:
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
    return _Told(
        "yaml-item-keys", f'The item above "{key}" needs {what} first.', hint,
        trouble.line, len(match["indent"]), len(key),
    )  # fmt: skip


def _with_kind(item: str) -> str:
    """A piece of work as it is written where more keys stand below it."""
    from dossier.read.work import kind_of_work

    kind = kind_of_work(item)
    kind = "repair" if kind == "other" else kind
    return f"{kind}: what was done" if item == kind else f"{kind}: {item}"


def _item_above(trouble: _Trouble, indent: int) -> str | None:
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


def _owner(trouble: _Trouble) -> str:
    """The key that the list belongs to."""
    keys = (
        re.match(r"(?P<key>[^\s:#-][^:(]*)", trouble.text(line))
        for line in range(trouble.line - 1, -1, -1)
    )
    return next((match["key"].strip().casefold() for match in keys if match), "")


def _indented(trouble: _Trouble) -> _Told | None:
    text = trouble.text(trouble.line)
    match = _KEY_VALUE.match(text) or re.match(r"(?P<indent>\s*)(?P<key>[^:\s][^:]*):\s*$", text)
    if match is None or "could not find" in trouble.problem:
        return None
    key = match["key"].strip()
    return _Told(
        "yaml-indent",
        f'The line of "{key}" does not begin where the keys beside it begin.',
        "Let keys that belong together begin in the same column.",
        trouble.line, len(match["indent"]), len(key),
    )  # fmt: skip


def _no_colon(trouble: _Trouble) -> _Told | None:
    text = trouble.text(trouble.begun_line)
    if "could not find expected ':'" not in trouble.problem or not text.strip():
        return None
    return _Told(
        "yaml-no-colon",
        f"{quote(text)} is not a key with a value.",
        "Write a key, a colon, a space and the value; sentences belong below the second ---.",
        trouble.begun_line, len(text) - len(text.lstrip()), len(text.strip()),
    )  # fmt: skip


def _list_ends(trouble: _Trouble) -> _Told | None:
    if "'-' indicator" not in trouble.problem:
        return None
    text = trouble.text(trouble.line)
    return _Told(
        "yaml-list-end",
        f"{quote(text)} stands in a list but is no item of it.",
        'Begin an item with "- ", and a key in the column of the other keys.',
        trouble.line, trouble.column, len(text) - trouble.column,
    )  # fmt: skip


def _unknown(trouble: _Trouble) -> _Told:
    line = min(trouble.line, max(len(trouble.lines) - 1, 0))
    return _Told(
        "yaml",
        "The front matter cannot be read from here on.",
        "Look for a quote or bracket that is not closed, or put the value in quotes.",
        line,
        min(trouble.column, len(trouble.text(line))),
    )


RULES: tuple[Rule, ...] = (
    _tab,
    _quote_open,
    _after_quote,
    _list_on_key_line,
    _leading_sign,
    _bracket,
    _second_colon,
    _missing_space,
    _item_with_keys,
    _list_ends,
    _indented,
    _no_colon,
)
