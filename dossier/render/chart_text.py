"""Texts of a chart, each set in one go.

WeasyPrint sets an SVG's text letter by letter, without kerning, and what is not aligned to the left
as a picture of its own: half of what a chart costs.  A chart of ours has plain texts only, one place
and one style each.
"""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from math import inf
from typing import Any
from unittest.mock import patch

_SHIFT = {"middle": 0.5, "end": 1.0}


@contextmanager
def whole_texts() -> Iterator[None]:
    """Within it, a text of an SVG is drawn whole; of its parts none is looked for."""
    from weasyprint import svg

    styles: dict[tuple[Any, ...], Any] = {}

    def draw(svg: Any, node: Any, font_size: float) -> None:
        if node.text:
            _draw(svg, node, font_size, styles)

    with patch.dict(svg.TAGS, {"text": draw}):
        yield


def _draw(svg: Any, node: Any, font_size: float, styles: dict[tuple[Any, ...], Any]) -> None:
    from weasyprint.draw.text import draw_emojis, draw_first_line
    from weasyprint.matrix import Matrix
    from weasyprint.svg.text import TextBox
    from weasyprint.text.line_break import split_first_line

    style = _style(svg, node, font_size, styles)
    layout, _, _, width, _, _ = split_first_line(node.text, style, svg.context, inf, 0)
    x, y = svg.point(node.get("x"), node.get("y"), font_size)
    x -= width * _SHIFT.get(node.get("text-anchor"), 0)
    svg.stream.push_state()
    fill, stroke = svg.set_graphical_state(node, font_size)
    svg.stream.begin_text()
    svg.fill_stroke(fill, stroke, text=True)
    layout.reactivate(style)
    box = TextBox(layout, style)
    emojis = draw_first_line(svg.stream, box, "none", "none", Matrix(d=-1, e=x, f=y))
    svg.stream.end_text()
    svg.stream.pop_state()
    draw_emojis(svg.stream, style, x, y, emojis)


def _style(svg: Any, node: Any, font_size: float, styles: dict[tuple[Any, ...], Any]) -> Any:
    from weasyprint.css.properties import INITIAL_VALUES
    from weasyprint.svg.text import Style

    family, weight = node.get("font-family", "sans-serif"), node.get("font-weight", "400")
    key = (family, weight, font_size)
    if key not in styles:
        style = styles[key] = Style(INITIAL_VALUES)
        style.font_config = svg.font_config
        style["font_family"] = [name.strip(" \"'") for name in family.split(",")]
        style["font_weight"] = {"normal": 400, "bold": 700}.get(weight) or int(weight)
        style["font_size"] = font_size
    return styles[key]
