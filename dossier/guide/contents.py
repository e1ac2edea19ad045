"""The order of the guide, and its pages as they were written or are made."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from functools import partial
from importlib import resources

from dossier.guide import lists
from dossier.model import Shop
from dossier.render.html import GuidePage
from dossier.schemas.schema import KINDS

INDEX = "index"

GROUPS: tuple[tuple[str, tuple[str, ...]], ...] = (
    ("Begin", ("start",)),
    (
        "How to",
        (
            "first-visit",
            "pitch-raise",
            "loose-pins",
            "preview",
            "letter",
            "due",
            "import",
            "card",
            "sale",
            "correct",
            "new-hands",
            "asked",
            "online",
            "laptop",
            "two-technicians",
            "successor",
            "look",
            "language",
            "cluster",
        ),
    ),
    (
        "Look up",
        (
            "every-key",
            *(f"keys-{kind}" for kind, _, _ in KINDS),
            "measured",
            "marks",
            "condition",
            "words",
            "checks",
            "editions",
            "commands",
        ),
    ),
    ("Why it is so", ("why-silence", "why-plain", "why-privacy", "why-drift", "why-signature")),
)
"""The groups in order, each with its pages by name."""

MADE: Mapping[str, Callable[[Shop], str]] = {
    **{f"keys-{kind}": partial(lists.keys, kind) for kind, _, _ in KINDS},
    "measured": lists.measured,
    "marks": lists.marks,
    "condition": lists.condition,
    "words": lists.words,
    "checks": lists.checks,
    "editions": lists.editions,
}
"""The pages that are made from what the program knows; all others are files of `pages/`."""


def source(name: str, shop: Shop) -> str:
    """A page's Markdown, its title first."""
    if name in MADE:
        return MADE[name](shop)
    return (resources.files(__package__) / "pages" / f"{name}.md").read_text("utf-8")


def pages(shop: Shop) -> tuple[GuidePage, ...]:
    """All pages in order, the contents first."""
    found = [
        (name, group, *_titled(source(name, shop))) for group, names in GROUPS for name in names
    ]
    titles = [(name, title) for name, _, title, _ in found]
    around = [("", ""), *titles, ("", "")]
    return (
        GuidePage(INDEX, "Guide", "", _contents(titles), after=titles[0]),
        *(
            GuidePage(name, title, group, text, around[at], around[at + 2])
            for at, (name, group, title, text) in enumerate(found)
        ),
    )


def _titled(text: str) -> tuple[str, str]:
    """The title on a page's first line, and the text below it."""
    title, _, rest = text.partition("\n")
    return title.removeprefix("# "), rest.lstrip("\n")


def _contents(titles: list[tuple[str, str]]) -> str:
    by_name = dict(titles)
    lines = []
    for group, names in GROUPS:
        lines += [f"## {group}", "", *(f"- [{by_name[name]}]({name}.md)" for name in names), ""]
    return "\n".join(lines)
