"""The pages for looking up, made from the reader's tables and the model's registries."""

from __future__ import annotations

import inspect
from collections.abc import Iterable, Iterator, Sequence
from typing import Any

from dossier.checks import CHECKS
from dossier.edition.declared import EDITIONS, RELEASED_BY
from dossier.model import COMPONENTS, GRADES, MARK_KINDS, MEASURED_KINDS, MeasuredKind, Shop
from dossier.read.provenance import CERTAINTIES, EVENT_KINDS
from dossier.read.work import WORK_KINDS
from dossier.schemas.schema import KINDS, REQUIRED, schema

_AS_A_VISIT = frozenset({"round", "inbox"})


def keys(kind: str, shop: Shop) -> str:
    """Every key of a kind of file: what it says, and how it is written."""
    place, title = next((place, title) for name, place, title in KINDS if name == kind)
    made = schema(kind, shop)
    hidden = {one.name for one in shop.measured_kinds} | {one.name for one in shop.mark_kinds}
    if kind in _AS_A_VISIT:
        hidden |= schema("visit", shop)["properties"].keys() - made.get("required", ())
    rows = [
        (
            f"**{key}**" if key in REQUIRED.get(kind, ()) else key,
            " ".join((_plain(about["description"]), *_nested(_own_keys(about, made["$defs"])))),
            ", or ".join(_written(key, _examples(about, made["$defs"]))),
        )
        for key, about in made["properties"].items()
        if key not in hidden
    ]
    lines = [
        f"# Keys: {title[:1].lower()}{title[1:]}",
        "",
        (
            f"What may stand between the lines of `---` in `content/{place}`. A key is read in any "
            "case, in the singular or the plural. One in bold has to be there."
        ),
        "",
    ]
    if kind == "visit":
        lines += [
            "The [measured kinds](measured.md) and the [kinds of marks](marks.md) are keys too.",
            "",
        ]
    if kind in _AS_A_VISIT:
        lines += ["It takes [all keys of a visit](keys-visit.md), and these.", ""]
    head = ("Key", "What it says", "Written like")
    return _page(lines, _without_empty(head, rows))


def measured(shop: Shop) -> str:
    """The measured kinds of this shop, with their units and targets."""
    rows = [
        (
            kind.name + _own(kind.name, (one.name for one in MEASURED_KINDS)),
            kind.unit,
            kind.per,
            "; ".join(_targets(kind)),
            ", ".join(kind.qualifiers),
            kind.source,
        )
        for kind in shop.measured_kinds
    ]
    lines = [
        "# Measured kinds",
        "",
        (
            "Each is a key of a visit: `key dip: A1 10.2 mm, A4 10 mm`. A bare number is in the "
            "kind's unit. The instrument's own targets in `instrument.md` come before these. A "
            "figure alone condemns nothing: judge it with the action before you, and with the "
            "maker's own specification where there is one."
        ),
        "",
    ]
    head = ("Key", "Unit", "For each", "Target", "Words that may follow", "Source")
    return _page(lines, _without_empty(head, rows))


def marks(shop: Shop) -> str:
    """The kinds of marks of this shop, with their components."""
    rows = [
        (
            kind.name + _own(kind.name, (one.name for one in MARK_KINDS)),
            kind.component,
            "yes" if kind.dry_season else "",
        )
        for kind in shop.mark_kinds
    ]
    lines = [
        "# Kinds of marks",
        "",
        (
            "Each is a key of a visit: `sticking keys: F3-B3, D4 slow`. A mark stays open until a "
            "later note says `clear:` or `checked:`. Some hide while the wood is damp: such a mark "
            "counts as recovered only when it was found right in wood at least as dry."
        ),
        "",
    ]
    return _page(lines, _without_empty(("Key", "Component", "Hides in damp wood"), rows))


def condition(_: Shop) -> str:
    """The components and the scale of grades."""
    lines = ["# Components and grades", "", "Below `condition:` stands a grade for a component."]
    lines += ["", "## Grades", ""]
    lines += _table(("Grade", "Meaning"), [(one.name, one.meaning) for one in GRADES])
    lines += ["", "## Components", "", *(f"- {name}" for name in COMPONENTS)]
    return _page(lines, [])


def words(_: Shop) -> str:
    """The fixed words of the other keys."""
    lines = ["# Words that are fixed", "", "## Kinds of work", ""]
    lines += [f"- {name}" for name in WORK_KINDS]
    lines += ["", "## Events of a provenance", "", *(f"- {name}" for name in EVENT_KINDS)]
    lines += ["", "## How certain they are", "", *(f"- {name}" for name in CERTAINTIES)]
    return _page(lines, [])


def checks(_: Shop) -> str:
    """Every check, what it guards against, and why it is made."""
    rows = [
        (f"`{one.id}`", _plain(one.why), _plain(inspect.getdoc(one.function) or ""))
        for one in CHECKS
    ]
    lines = [
        "# Checks",
        "",
        (
            "What can be read may still be unlikely. `dossier check` then says so, and stops "
            "nothing: what is unlikely may be true."
        ),
        "",
    ]
    return _page(lines, _table(("Check", "It guards against", "Why"), rows))


def editions(_: Shop) -> str:
    """What each edition shows of an instrument."""
    sections = sorted({name for one in EDITIONS for name in (*one.shows, *one.on_release)})
    rows = [
        (section, *(_shown(section, one.shows, one.on_release, one.one_by_one) for one in EDITIONS))
        for section in sections
    ]
    lines = [
        "# Editions, and what each shows",
        "",
        *(f"- **{one.name}**: for {one.reader}" for one in EDITIONS),
        "",
        "What no row names is shown nowhere. A client's file releases a section for a statement "
        "by a word: "
        + ", ".join(f"{name} by `{word}`" for name, word in RELEASED_BY.items())
        + ". Costs are on an owner's page where `show costs: yes` says so.",
        "",
    ]
    return _page(lines, _table(("Section", *(one.name for one in EDITIONS)), rows))


def _shown(
    section: str, shows: frozenset[str], released: frozenset[str], singly: frozenset[str]
) -> str:
    if section in shows:
        return "yes"
    if section in released:
        return "where released"
    return "piece by piece, where released" if section in singly else ""


def _own(name: str, known: Iterable[str]) -> str:
    return "" if name in set(known) else " (your own)"


def _targets(kind: MeasuredKind) -> Iterator[str]:
    for form, low, high in kind.targets:
        yield f"{'' if form == 'any' else form + ' '}{low}-{high} {kind.unit}"


def _examples(shape: dict[str, Any], named: dict[str, Any]) -> list[Any]:
    """The examples of a shape, else the words that it lists."""
    for key in ("examples", "enum"):
        if key in shape:
            return list(shape[key])
    if "$ref" in shape:
        return _examples(named[shape["$ref"].rpartition("/")[2]], named)
    inner = (*shape.get("anyOf", ()), *([shape["items"]] if "items" in shape else ()))
    return next((found for one in inner if (found := _examples(one, named))), [])


def _own_keys(shape: dict[str, Any], named: dict[str, Any]) -> tuple[str, ...]:
    """The keys that a nested form of a value has."""
    if "$ref" in shape:
        return _own_keys(named[shape["$ref"].rpartition("/")[2]], named)
    if "properties" in shape:
        return tuple(shape["properties"])
    inner = (*shape.get("anyOf", ()), *([shape["items"]] if "items" in shape else ()))
    return next((found for one in inner if (found := _own_keys(one, named))), ())


def _nested(names: Sequence[str]) -> Iterator[str]:
    if names:
        yield f"Keys of its own, in a nested form: {', '.join(names)}."


def _written(key: str, examples: Sequence[Any]) -> Iterator[str]:
    """Up to two lines as they would stand in a file; a nested one says what stands below."""
    for one in examples[:2]:
        if isinstance(one, dict):
            yield "; ".join(_code(f"{name}: {value}") for name, value in one.items())
        else:
            value = f'"{one}"' if str(one).startswith("#") else str(one)
            yield _code(f"{key}: {value}")


def _code(text: str) -> str:
    return f"`{text}`"


def _plain(text: str) -> str:
    """Words of the program's own for a cell of a table, in one line."""
    return (
        " ".join(text.split("\n\n", maxsplit=1)[0].split()).replace("*", "\\*").replace("<", "\\<")
    )


def _table(head: Sequence[str], rows: Iterable[Sequence[str]]) -> list[str]:
    lines = [head, ["---"] * len(head), *rows]
    return ["| " + " | ".join(cell.replace("|", "\\|") for cell in row) + " |" for row in lines]


def _without_empty(head: Sequence[str], rows: Sequence[Sequence[str]]) -> list[str]:
    """A table without those columns that hold nothing."""
    kept = [at for at in range(len(head)) if any(row[at] for row in rows)]
    return _table([head[at] for at in kept], [[row[at] for at in kept] for row in rows])


def _page(lines: Sequence[str], table: Sequence[str]) -> str:
    return "\n".join((*lines, *table, ""))
