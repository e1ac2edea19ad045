"""The card that is left inside an instrument: one page of A7, with a code for a telephone."""

from __future__ import annotations

from dataclasses import dataclass, replace
from itertools import groupby

from dossier.edition.card import CardView
from dossier.render.paper import MissingSignsError, Paper, TooManyPagesError, write
from dossier.render.pdf import environment, page_shelf, shown_without
from dossier.theme import Theme, accent
from dossier.words import Words


@dataclass(frozen=True, slots=True)
class Code:
    """A code's dark squares as an SVG path, in a view box of `side` modules with its quiet zone."""

    side: int
    path: str


CODE_MM = 26.0
"""The side of the code with its quiet zone, in mm."""
LEAST_MODULE_MM = 0.4
"""The smallest square that a telephone reads at hand's length from print; common practice."""
QUIET = 4
"""The bright border, in modules (ISO/IEC 18004, 6.3.8)."""

SMALLER_PT = (7.4, 6.6, 5.8)
"""The sizes of letter that a card of long names is tried in; the last is read at arm's length."""


def card(view: CardView, words: Words, theme: Theme) -> bytes:
    """The card as a PDF; the same view gives the same bytes.

    It is one side, in smaller letters where the names are long; a theme's own sheet that leaves no
    room even then makes it two.

    Raises PdfError where the renderer warns of anything, ValueError for an address too long for a
    code that can be read at this size.
    """
    code = qr_code(view.address) if view.address else None
    html = (
        environment(theme).get_template("print/card.html").render(view=view, words=words, code=code)
    )
    colour = accent(theme, view.sender.accent)[0].light
    css = f"{theme.text('print/card.css')}\n:root {{ --accent: {colour}; }}\n"
    paper = Paper(
        html=html,
        css=css,
        title=words("Card for {instrument}", instrument=view.title),
        author=view.sender.name,
        language=words.language,
        stand=view.as_of,
        pages=1,
    )
    for size in SMALLER_PT:
        try:
            return _written(paper, theme)
        except TooManyPagesError:
            paper = replace(paper, css=f"{css}html {{ font-size: {size}pt; }}\n")
    return _written(replace(paper, pages=0), theme)


def _written(paper: Paper, theme: Theme) -> bytes:
    shelf = page_shelf({}, theme)
    try:
        return write(paper, shelf)
    except MissingSignsError as error:
        return write(shown_without(paper, error.signs), shelf)


def qr_code(address: str) -> Code:
    """The code that a telephone reads an address from.

    Level M, which a crease or a thumb's dirt leaves readable.  Raises ValueError where a square
    would be smaller than LEAST_MODULE_MM.
    """
    import segno

    rows = tuple(segno.make_qr(address, error="m", boost_error=False).matrix)
    side = len(rows) + 2 * QUIET
    if CODE_MM / side < LEAST_MODULE_MM:
        raise ValueError(f"the address is too long for the code on a card: {address}")
    pieces = []
    for y, row in enumerate(rows, QUIET):
        x = QUIET
        for dark, run in groupby(row):
            wide = len(tuple(run))
            pieces += [f"M{x} {y}h{wide}v1h-{wide}z"] if dark else []
            x += wide
    return Code(side, "".join(pieces))
