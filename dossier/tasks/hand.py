"""Who does what is slow: charts, pictures, documents."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING, Protocol

from dossier.theme import Theme
from dossier.words import Words

if TYPE_CHECKING:
    from dossier.charts import Medium
    from dossier.edition.figures import Figure
    from dossier.edition.pages import InstrumentView
    from dossier.pictures import Picture
    from dossier.quantities import Formatter


class Hand(Protocol):
    """Who does what is slow: one who remembers, or one who doesn't."""

    def draw(self, figures: tuple[Figure, ...], medium: Medium) -> Mapping[str, str]:
        """The figures' SVG by their ids."""

    def explore(self, figures: tuple[Figure, ...], form: Formatter) -> Mapping[str, str]:
        """The figures' charts for a browser, as JSON by their ids."""

    def picture(self, data: bytes, name: str, thumb: int) -> Picture:
        """A photograph as the pages show it, `thumb` px in a small place.  Raises PictureError."""

    def document(
        self,
        view: InstrumentView,
        charts: Mapping[str, str],
        pictures: Mapping[str, bytes],
        words: Words,
        theme: Theme,
        data: bytes,
    ) -> bytes:
        """The PDF.  Raises PdfError."""


class PlainHand:
    """Makes all anew."""

    def draw(self, figures: tuple[Figure, ...], medium: Medium) -> Mapping[str, str]:
        from dossier.charts import LIGHT, draw

        return draw(figures, LIGHT, medium)

    def explore(self, figures: tuple[Figure, ...], form: Formatter) -> Mapping[str, str]:
        from dossier.charts.explorable import charts

        return charts(figures, form)

    def picture(self, data: bytes, name: str, thumb: int) -> Picture:
        from dossier.pictures import picture

        return picture(data, name, thumb)

    def document(
        self,
        view: InstrumentView,
        charts: Mapping[str, str],
        pictures: Mapping[str, bytes],
        words: Words,
        theme: Theme,
        data: bytes,
    ) -> bytes:
        from dossier.render.pdf import document

        return document(view, charts, pictures, words, theme, data)
