"""What a style leaves as it begins, known from the start.

WeasyPrint finds each property of a style on its own when it is first asked for, through a page of
questions; of its two hundred a style of ours says ten.
"""

from __future__ import annotations

from typing import Any

from dossier.render.swaps import Swap

_ASKED = frozenset({"page", "position", "float", "display"})
"""What hangs on other properties, or is remembered as it was said."""


def known_styles() -> list[Swap]:
    """Styles that hold from the start what they neither inherit, nor say, nor compute."""
    from weasyprint import css
    from weasyprint.css.computed_values import PHYSICAL_FUNCTIONS
    from weasyprint.css.properties import INHERITED, INITIAL_NOT_COMPUTED, INITIAL_VALUES

    apart = INHERITED | INITIAL_NOT_COMPUTED | _ASKED
    begun = {
        name: value
        for name, value in INITIAL_VALUES.items()
        if name not in apart and not name.startswith(("text_decoration_", "__"))
    }
    # A margin may be said as one before the text, wherever that begins.
    plain = {name: value for name, value in begun.items() if name not in PHYSICAL_FUNCTIONS}

    class Computed(css.ComputedStyle):  # type: ignore[misc]
        def __init__(self, parent: Any, cascaded: dict[str, Any], *others: Any) -> None:
            super().__init__(parent, cascaded, *others)
            self.update(plain)
            for name in cascaded.keys() & plain.keys():
                del self[name]

    class Anonymous(css.AnonymousStyle):  # type: ignore[misc]
        def __init__(self, parent: Any) -> None:
            self.update(begun)
            super().__init__(parent)

    names = vars(css)
    return [(names, "ComputedStyle", Computed), (names, "AnonymousStyle", Anonymous)]
