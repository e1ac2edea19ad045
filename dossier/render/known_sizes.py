"""Sizes that hang on nothing but a style, worked out once for it.

WeasyPrint resolves margins, padding and sizes of every box at every layout, percentages or not: a
twelfth of a document's time (measured).  Most boxes share their style with others and have none.
"""

from __future__ import annotations

from collections.abc import Callable
from importlib import import_module
from typing import Any

from dossier.render.swaps import Swap

SIZES = (
    "margin_left", "margin_right", "margin_top", "margin_bottom",
    "padding_left", "padding_right", "padding_top", "padding_bottom",
    "width", "min_width", "max_width", "height", "min_height", "max_height",
)  # fmt: skip
BORDERS = ("border_top_width", "border_right_width", "border_bottom_width", "border_left_width")
_NAME = "resolve_percentages"
_ASKING = ("absolute", "block", "column", "float", "grid", "inline", "page", "table")


def known_sizes() -> list[Swap]:
    """A box whose style holds no percentage has its sizes from there."""
    from weasyprint.layout.percent import resolve_percentages

    quick = _quick(resolve_percentages)
    modules = (import_module(f"weasyprint.layout.{name}") for name in _ASKING)
    return [(vars(module), _NAME, quick) for module in modules]


def _quick(resolve: Callable[[Any, Any], None]) -> Callable[[Any, Any], None]:
    def sized(box: Any, containing_block: Any) -> None:
        kept = box.style.__dict__
        if "known_sizes" not in kept:
            kept["known_sizes"] = _sizes(box.style)
        known = kept["known_sizes"]
        if known is None:
            resolve(box, containing_block)
            return
        sizes, borders = known
        values = box.__dict__
        values.update(sizes)
        # Cells that share a border have had theirs from the table.
        if box.style["border_collapse"] != "collapse":
            values.update(borders)
        else:
            for name, width in borders.items():
                values.setdefault(name, width)

    return sized


def _sizes(style: Any) -> tuple[dict[str, Any], dict[str, Any]] | None:
    """What every box of this style gets, in pixels or "auto"; None where its surroundings tell."""
    if style["box_sizing"] != "content-box":
        return None
    sizes = {}
    for name in SIZES:
        value = style[name]
        if value == "auto":
            sizes[name] = 0 if name in ("min_width", "min_height") else value
        elif getattr(value, "unit", None) == "px":
            sizes[name] = value.value
        else:
            return None
    return sizes, {name: style[name] for name in BORDERS}
