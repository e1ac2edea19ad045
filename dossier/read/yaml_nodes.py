"""Front matter to nodes with places, by YAML 1.2's rules and none of YAML's silent surprises.

PyYAML's C parser composes the nodes (four to eight times as fast as the one in Python); the
resolver is our own: every scalar is text, so that `no`, `12:30` and `2026-03-14` stay what the
technician wrote, and the field that a value belongs to decides what it is.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, replace
from typing import Any, NamedTuple

import yaml

from dossier.diagnostics import Fix, Span
from dossier.read import yaml_mistakes
from dossier.read.pieces import Findings, Origin, Piece, in_quotes, key_shape
from dossier.read.text import unseen
from dossier.read.yaml_lists import folded_list

_TEXT = "tag:yaml.org,2002:str"
_OWN_TAGS = frozenset({_TEXT, "tag:yaml.org,2002:seq", "tag:yaml.org,2002:map"})
DEEPEST = 60
_COMMENT = re.compile(r"[ \t]+#(?P<text>[^\n]*)")
_INDENT = re.compile(r"^[\s\-?:]*", re.MULTILINE)
_LIST_SIGNS = frozenset("-–—•")
_NOTHING = frozenset({"", "~", "null", "Null", "NULL"})


class NoteLoader(yaml.CSafeLoader):
    """The C parser with a resolver that leaves every scalar a text."""

    def resolve(self, kind: type[Any], value: str | None, implicit: Any) -> str:  # noqa: ARG002
        if kind is yaml.ScalarNode:
            return _TEXT
        return "tag:yaml.org,2002:seq" if kind is yaml.SequenceNode else "tag:yaml.org,2002:map"


class Scalar(NamedTuple):
    """One value.

    `empty` where nothing was written, `told` where a finding says why already; `quoted` where
    quotes stand around it.
    """

    piece: Piece
    quoted: bool = False
    empty: bool = False
    told: bool = False

    @property
    def span(self) -> Span:
        return self.piece.span()


@dataclass(frozen=True, slots=True)
class Items:
    """A list; `flow` where it was written in brackets."""

    nodes: tuple[Node, ...]
    span: Span
    flow: bool = False


@dataclass(frozen=True, slots=True)
class Pairs:
    """Keys and their values, in the order of the note; no key twice."""

    pairs: tuple[tuple[Piece, Node], ...]
    span: Span
    flow: bool = False


Node = Scalar | Items | Pairs


def compose(front: str, file: str, first_line: int, findings: Findings) -> Pairs | None:
    """Compose a note's front matter.  None, with a finding, where it cannot be trusted."""
    if not front.strip():
        return Pairs((), Span(file, first_line))
    if _too_deep(front):
        findings.error(
            "yaml-depth",
            "The front matter is nested too deeply.",
            Span(file, first_line),
            "A note needs three levels at most.",
        )
        return None
    try:
        root = yaml.compose(front, Loader=NoteLoader)
    except yaml.YAMLError as error:
        findings.gathered.append(yaml_mistakes.explain(front, file, first_line, error))
        return None
    builder = _Builder(front, file, first_line, findings, _COMMENT.search(front) is not None)
    if root is None:
        return Pairs((), Span(file, first_line))
    tree = builder.node(root)
    if not isinstance(tree, Pairs):
        findings.gathered.append(yaml_mistakes.no_mapping(front, file, tree.span))
        return None
    return tree if builder.trusted else None


def _too_deep(front: str) -> bool:
    if front.count("[") + front.count("{") > DEEPEST:
        depth = 0
        for letter in front:
            depth += (letter in "[{") - (letter in "]}")
            if depth > DEEPEST:
                return True
    return any(len(match[0]) > 2 * DEEPEST for match in _INDENT.finditer(front))


@dataclass(slots=True)
class _Builder:
    """Turns PyYAML's nodes into ours, and refuses what a note has no use for."""

    front: str
    file: str
    first_line: int
    findings: Findings
    comments: bool
    trusted: bool = True

    def node(self, node: yaml.Node) -> Node:
        if self._has_properties(node):
            # Not looked into: an anchored node could hold itself.
            return Scalar(Piece("", Origin(self.file, self._span(node).line, 1, "")), told=True)
        if isinstance(node, yaml.ScalarNode):
            return self._scalar(node)
        flow = bool(getattr(node, "flow_style", False))
        if isinstance(node, yaml.SequenceNode):
            return Items(tuple(map(self.node, node.value)), self._span(node), flow)
        return self._pairs(node, flow)

    def _span(self, node: yaml.Node) -> Span:
        return Span(self.file, self.first_line + node.start_mark.line, node.start_mark.column + 1)

    def _scalar(self, node: yaml.ScalarNode) -> Scalar:
        start, style = node.start_mark, node.style or None  # the C parser says "" for a plain one
        value: str = node.value
        line, column = self.first_line + start.line, start.column + 1
        begin = start.index + (style is not None)
        raw: str | None = None
        if style in ("|", ">") or not self.front.startswith(value, begin):
            # The C parser ends a plain value where the next word begins.
            raw = self.front[begin : node.end_mark.index]
            raw = _without_header(raw) if style in ("|", ">") else raw
        origin = Origin(self.file, line, column + (style is not None), value, raw)
        if style == '"' and (sign := unseen(value)):
            self._distrust(
                "yaml-unseen",
                f"An escape between these quotes stands for a sign that nobody sees "
                f"(U+{ord(sign):04X}).",
                self._span(node),
                "Write the words without it.",
            )
        text = value.rstrip() if value[-1:] in (" ", "\n") else value
        empty = style is None and value in _NOTHING
        end = begin + len(value) if raw is None else node.end_mark.index
        told = style is None and self.comments and self._swallowed(end, empty)
        if style is None and (raw is not None or value[:1] in _LIST_SIGNS):
            told = self._folded(start, end, raw or value) or told
        return Scalar(Piece(text, origin), style is not None, empty, told)

    def _folded(self, start: yaml.Mark, end: int, value: str) -> bool:
        """Say so where lines that were meant for a list became one value."""
        found = folded_list(
            value,
            self.file,
            self.first_line + start.line,
            start.column + 1,
            at_start=not self.front[start.index - start.column : start.index].strip(),
            key=self.front.startswith(":", end),
        )
        if found is not None:
            self.findings.gathered.append(found)
        return found is not None

    def _swallowed(self, end: int, empty: bool) -> bool:
        """Say so where a comment took the value, or the number of a key at its end."""
        match = _COMMENT.match(self.front, end)
        if match is None or not (empty or match["text"][:1].isdigit()):
            return False
        before = self.front[: match.start("text")]
        column = len(before) - before.rfind("\n") - 1
        line = self.first_line + before.count("\n")
        span = Span(self.file, line, column, len(match["text"]) + 1)
        self.findings.gathered.append(yaml_mistakes.comment("#" + match["text"], span))
        return True

    def _pairs(self, node: yaml.Node, flow: bool) -> Pairs:
        pairs: list[tuple[Piece, Node]] = []
        seen: dict[str, Piece] = {}
        for key_node, value_node in node.value:
            key = self.node(key_node)
            value = self.node(value_node)
            if not isinstance(key, Scalar):
                self._distrust(
                    "yaml-key", "A key must be one word or a few, not a list or a map.", key.span
                )
                continue
            shape = key_shape(key.piece.text)
            if shape == "<<":
                self._distrust(
                    "yaml-merge",
                    '"<<" is YAML\'s way to merge two maps, and no key of a note.',
                    key.span,
                    "Write the keys out.",
                )
            elif shape in seen:
                self._duplicate(key.piece, seen[shape])
            else:
                seen[shape] = key.piece
                pairs.append((key.piece, value))
        return Pairs(tuple(pairs), self._span(node), flow)

    def _duplicate(self, key: Piece, earlier: Piece) -> None:
        name = key.text
        self.findings.error(
            "duplicate-key",
            f'"{name}" is written a second time; the first is on line {earlier.span().line}.',
            key.span(),
            f'Write "{name}:" once, and below it one line for each, beginning with "  - ".',
        )

    def _has_properties(self, node: yaml.Node) -> bool:
        sign = self.front[node.start_mark.index : node.start_mark.index + 1]
        if sign not in ("!", "&") and node.tag in _OWN_TAGS:
            return False
        word = "an anchor" if sign == "&" else "a tag"
        self._distrust(
            f"yaml-{word.split()[1]}",
            f'A value that begins with "{sign}" has {word} to YAML, so that its first word '
            "would be lost.",
            self._span(node),
            "Put the value in quotes.",
            self._quoted(node),
        )
        return True

    def _quoted(self, node: yaml.Node) -> Fix | None:
        """The fix of a value that begins with a sign of YAML's, where it fills its line."""
        start = node.start_mark.index
        value = self.front[start:].partition("\n")[0].rstrip()
        if getattr(node, "flow_style", False) or " #" in value:
            return None
        place = self._span(node)
        return Fix(replace(place, width=len(value)), value, in_quotes(value))

    def _distrust(
        self, code: str, message: str, span: Span, hint: str = "", fix: Fix | None = None
    ) -> None:
        self.trusted = False
        self.findings.error(code, message, span, hint, fix)


def _without_header(inner: str) -> str:
    """The source of a `|` or `>` value, its header blanked: only the value's letters count."""
    header, newline, rest = inner.partition("\n")
    return " " * len(header) + newline + rest
