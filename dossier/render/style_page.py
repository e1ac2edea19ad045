"""The page of the look: every token and every piece that the pages are made of, in both lights."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from dossier.charts import palette
from dossier.edition.style_view import StyleView
from dossier.render import assets, html
from dossier.render.beside import NO_PICTURES, Pictures
from dossier.theme import Theme, accent, colours, contrast
from dossier.words import Words

_GROUNDS = frozenset({"paper", "sheet", "wash", "bench_wash", "stop_ground"})
_HAIRLINES = frozenset({"line"})


@dataclass(frozen=True, slots=True)
class Swatch:
    """A colour by its token; `on` is what it was measured on, `ratio` its contrast there (WCAG)."""

    token: str
    colour: str
    on: str
    ratio: str


@dataclass(frozen=True, slots=True)
class Light:
    """One of the two lights: "light" or "dark", its colours and those of its charts."""

    name: str
    page: tuple[Swatch, ...]
    charts: tuple[Swatch, ...]


def style_files(
    view: StyleView, words: Words, theme: Theme, pictures: Pictures = NO_PICTURES
) -> dict[str, bytes]:
    """The page at style.html and the sheet that shows both lights side by side."""
    sheet = assets.both_lights(theme, view.sender)
    path = assets.hashed("screen/lights.css", sheet)
    context = html.ground(view.sender, words, theme, pictures) | {
        "view": view,
        "lights": tuple(_lights(view, theme)),
        "both": path,
        "kinds": ("origin", "move", "visit", "raise", "repair", "equipment", "settled", "open"),
    }
    return {path: sheet, "style.html": html.rendered(theme, "bench-style.html", context)}


def _lights(view: StyleView, theme: Theme) -> Iterator[Light]:
    own = accent(theme, view.sender.accent)[0]
    for name, drawn in (("light", palette.LIGHT), ("dark", palette.DARK)):
        tokens = {**colours(theme)[name], "accent": own.light if name == "light" else own.dark}
        chart = {**palette.tokens(drawn), "ground": tokens["sheet"]}
        yield Light(
            name,
            tuple(_swatch(token, tokens, "paper") for token in tokens),
            tuple(_swatch(token, chart, "ground") for token in chart),
        )


def _swatch(token: str, tokens: dict[str, str], ground: str) -> Swatch:
    on = "stop_ground" if token == "on_stop" else ground  # noqa: S105  # a token of the look
    told = token != on and token not in _GROUNDS | _HAIRLINES
    ratio = f"{contrast(tokens[token], tokens[on]):.1f}" if told else ""
    return Swatch(token, tokens[token], on if told else "", ratio)
