"""What went wrong where YAML can't read a front matter, in words for someone who writes notes.

The rules are an ordered tuple: the first that knows the mistake explains it.  They look at the
text around the place where the parser gave up, and at what kind of thing it was reading.
"""

from __future__ import annotations

import re

import yaml

from dossier.diagnostics import Diagnostic, Span
from dossier.read.pieces import in_quotes, quote
from dossier.read.yaml_lists import item_with_keys, list_ends, list_on_key_line
from dossier.read.yaml_trouble import Rule, Told, Trouble

_MISSING_SPACE = re.compile(r"\s*(?:- )?(?P<key>[^\W\d][\w #-]*):(?P<value>[^\s:/][^:]*)")
_MISSING_SPACE_DASH = re.compile(r"\s*-(?P<value>[^\s-].*)")
_DASH = re.compile(r"\s*(?P<sign>[–—•])\s*(?P<value>[^\s–—].*)")  # as telephones make it
_KEY_VALUE = re.compile(r"(?P<indent>\s*)(?P<dash>- +)?(?P<key>[^:\s][^:]*):[ \t]+(?P<value>\S.*)")
_SIGNS = "*&@%`!|>?,]}"
_NO_OTHER_USE = "*&@%`!"  # a note has no use for what these mean to YAML


def explain(front: str, file: str, first_line: int, error: yaml.YAMLError) -> Diagnostic:
    """The finding for an error of PyYAML's, which never reaches a person in its own words."""
    lines = front.split("\n")
    mark = getattr(error, "problem_mark", None)
    begun = getattr(error, "context_mark", None) or mark
    trouble = Trouble(
        lines,
        str(getattr(error, "problem", "") or ""),
        str(getattr(error, "context", "") or ""),
        mark.line if mark else 0,
        mark.column if mark else 0,
        begun.line if begun else 0,
        begun.column if begun else 0,
    )
    told = next((told for rule in RULES if (told := rule(trouble))), None) or _unknown(trouble)
    return told.finding(file, first_line)


def no_mapping(front: str, file: str, span: Span) -> Diagnostic:
    """The front matter is a list or a sentence, where keys with values are expected."""
    lines = front.split("\n")
    said = (number for number, line in enumerate(lines) if line.strip()[:1] not in ("", "#"))
    at = next(said, 0)
    trouble = Trouble(lines, "", "", at, 0, at, 0)
    if told := _missing_space(trouble):
        return told.finding(file, span.line - told.line)
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


def _tab(trouble: Trouble) -> Told | None:
    if trouble.sign != "\t" and not re.match(r" *\t", trouble.text(trouble.line)):
        return None
    column = trouble.text(trouble.line).index("\t")
    return Told(
        "yaml-tab", "A tab stands at the beginning of the line.", "Indent with spaces.",
        trouble.line, column, 1,
    )  # fmt: skip


def _leading_sign(trouble: Trouble) -> Told | None:
    """A value that begins with a sign that YAML keeps for itself."""
    for line, column in (
        (trouble.begun_line, trouble.begun_column),
        (trouble.line, trouble.column),
    ):
        text = trouble.text(line)
        sign = text[column : column + 1]
        if sign and sign in _SIGNS and re.fullmatch(r"[^'\"]*[:\[{,-]\s+|\s*", text[:column]):
            return Told(
                "yaml-sign",
                f'A value cannot begin with "{sign}", which means something else to YAML.',
                "Put the value in quotes.",
                line, column, 1, _quoted(text, column) if sign in _NO_OTHER_USE else None,
            )  # fmt: skip
    return None


def _quoted(text: str, column: int) -> tuple[int, str, str]:
    """The fix that puts the rest of a line in quotes."""
    value = text[column:].rstrip()
    return column, value, in_quotes(value)


def _quote_open(trouble: Trouble) -> Told | None:
    if "quoted scalar" not in trouble.context:
        return None
    sign = trouble.text(trouble.begun_line)[trouble.begun_column : trouble.begun_column + 1]
    if "escape" in trouble.problem or "hexdecimal" in trouble.problem:
        return Told(
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
    return Told(
        "yaml-quote-open", f"The quote {sign} that begins here is not closed.", hint,
        trouble.begun_line, trouble.begun_column, 1,
    )  # fmt: skip


def _after_quote(trouble: Trouble) -> Told | None:
    before = trouble.text(trouble.line)[: trouble.column].rstrip()
    if not before.endswith(("'", '"')) or not trouble.sign:
        return None
    rest = trouble.text(trouble.line)[trouble.column :]
    return Told(
        "yaml-after-quote",
        f"{quote(rest)} stands after the closing quote of the value.",
        "Put the whole value in quotes, of the other kind where it has quotes inside.",
        trouble.line, trouble.column, len(rest),
    )  # fmt: skip


def _bracket(trouble: Trouble) -> Told | None:
    if "flow" not in trouble.context:
        return None
    line, column = _opening(trouble)
    sign = trouble.text(line)[column : column + 1]
    closing = {"[": "]", "{": "}"}.get(sign)
    if closing is None:
        return None
    return Told(
        "yaml-bracket",
        f'The bracket "{sign}" that begins here is not closed where it should be.',
        f'Close it with "{closing}", or write without brackets: one item a line, each after "- ".',
        line, column, 1,
    )  # fmt: skip


def _opening(trouble: Trouble) -> tuple[int, int]:
    """Where the bracket was opened that the parser was in: it names the place, or is past it."""
    if trouble.text(trouble.begun_line)[trouble.begun_column :][:1] in ("[", "{"):
        return trouble.begun_line, trouble.begun_column
    for line in range(min(trouble.begun_line, len(trouble.lines) - 1), -1, -1):
        text = trouble.text(line)
        column = max(text.rfind("["), text.rfind("{"))
        if column >= 0:
            return line, column
    return trouble.begun_line, trouble.begun_column


def _missing_space(trouble: Trouble) -> Told | None:
    for line in dict.fromkeys((trouble.begun_line, trouble.line, trouble.line - 1)):
        text = trouble.text(line)
        if match := _MISSING_SPACE.fullmatch(text):
            key = match["key"]
            return Told(
                "yaml-colon-space",
                f'There is no space after the colon of "{key}:".',
                f"Write {key}: {match['value'].strip()}",
                line, match.start("key"), len(key) + 1, (match.end("key"), ":", ": "),
            )  # fmt: skip
        if match := _MISSING_SPACE_DASH.fullmatch(text):
            return Told(
                "yaml-dash-space",
                f"{quote(text.strip())} is not read as a list item.",
                f"Write a space after the hyphen: - {match['value'].strip()}",
                line, match.start("value") - 1, 1, (match.start("value") - 1, "-", "- "),
            )  # fmt: skip
    return None


def _second_colon(trouble: Trouble) -> Told | None:
    if "mapping values" not in trouble.problem:
        return None
    text = trouble.text(trouble.line)
    match = _KEY_VALUE.match(text)
    if match is None or trouble.column <= match.end("key"):
        return None
    return Told(
        "yaml-second-colon",
        f'A second colon stands in the value of "{match["key"].strip()}".',
        f'Put the value in quotes: {match["key"].strip()}: "{match["value"].rstrip()}"',
        trouble.line, trouble.column, 1, _quoted(text, match.start("value")),
    )  # fmt: skip


def _indented(trouble: Trouble) -> Told | None:
    text = trouble.text(trouble.line)
    match = _KEY_VALUE.match(text) or re.match(r"(?P<indent>\s*)(?P<key>[^:\s][^:]*):\s*$", text)
    if match is None or "could not find" in trouble.problem:
        return None
    key = match["key"].strip()
    return Told(
        "yaml-indent",
        f'The line of "{key}" does not begin where the keys beside it begin.',
        "Let keys that belong together begin in the same column.",
        trouble.line, len(match["indent"]), len(key),
    )  # fmt: skip


def _no_colon(trouble: Trouble) -> Told | None:
    text = trouble.text(trouble.begun_line)
    if "could not find expected ':'" not in trouble.problem or not text.strip():
        return None
    if match := _DASH.fullmatch(text):
        at, gap = match.start("sign"), match.start("value") - match.end("sign")
        return Told(
            "yaml-dash-space",
            f"{quote(text.strip())} is not read as a list item.",
            f"Write a hyphen and a space: - {match['value'].strip()}",
            trouble.begun_line, at, 1, (at, match["sign"], "-" if gap else "- "),
        )  # fmt: skip
    return Told(
        "yaml-no-colon",
        f"{quote(text)} is not a key with a value.",
        "Write a key, a colon, a space and the value; sentences belong below the second ---.",
        trouble.begun_line, len(text) - len(text.lstrip()), len(text.strip()),
    )  # fmt: skip


def _unknown(trouble: Trouble) -> Told:
    line = min(trouble.line, max(len(trouble.lines) - 1, 0))
    return Told(
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
    list_on_key_line,
    _leading_sign,
    _bracket,
    _second_colon,
    _missing_space,
    item_with_keys,
    list_ends,
    _indented,
    _no_colon,
)
