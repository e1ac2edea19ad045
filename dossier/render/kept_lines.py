"""Lines kept as they were set until they are drawn.

WeasyPrint throws each line's setting away after layout, and sets all of them again to draw them.
"""

from __future__ import annotations

from typing import Any

from dossier.render.swaps import Swap


def kept_lines() -> list[Swap]:
    """Lines are set once, if they are not stretched; a style describes its font once."""
    from weasyprint.text import line_break

    describe = line_break.get_font_description

    def described(style: Any) -> Any:
        kept = style.__dict__
        if "font_description" not in kept:
            kept["font_description"] = describe(style)
        return kept["font_description"]

    class Kept(line_break.Layout):  # type: ignore[misc]
        def deactivate(self) -> None:
            """Nothing is let go before it is drawn."""

        def reactivate(self, style: Any) -> None:
            if self.justification_spacing:
                super().reactivate(style)

    names = vars(line_break)
    return [(names, "Layout", Kept), (names, "get_font_description", described)]
