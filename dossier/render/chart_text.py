"""Texts of a chart, each set in one go.

WeasyPrint sets an SVG's text letter by letter, without kerning, and what is not aligned to the
left as a picture of its own: half of what a chart costs.  A chart of ours has plain texts only, one
place and one style each.
"""

from __future__ import annotations

from math import inf
from typing import Any

from dossier.render.swaps import Swap

_SHIFT = {"middle": 0.5, "end": 1.0}


def whole_texts() -> list[Swap]:
    """A text of an SVG is drawn whole; of its parts none is looked for."""
    from weasyprint.svg import TAGS

    return [(TAGS, "text", _draw)]


def _draw(svg: Any, node: Any, font_size: float) -> None:
    if not node.text:
        return
    from weasyprint.draw.text import draw_emojis, draw_first_line
    from weasyprint.matrix import Matrix
    from weasyprint.svg.text import TextBox
    from weasyprint.text.line_break import split_first_line

    style = _style(svg, node, font_size)
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


def _style(svg: Any, node: Any, font_size: float) -> Any:
    from weasyprint.css.properties import INITIAL_VALUES
    from weasyprint.svg.text import Style

    weight = node.get("font-weight", "400")
    style = Style(INITIAL_VALUES)
    style.font_config = svg.font_config
    style["font_family"] = [
        name.strip(" \"'") for name in node.get("font-family", "sans-serif").split(",")
    ]
    style["font_weight"] = {"normal": 400, "bold": 700}.get(weight) or int(weight)
    style["font_size"] = font_size
    return style
