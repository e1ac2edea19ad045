"""What all pages of a site share: one style sheet and its fonts, named by the hash of their bytes.

A name that follows the bytes can be kept by a browser for ever, and a page that is read while a
new build is swapped in never meets the style of another one.
"""

from __future__ import annotations

import hashlib
import re
from collections.abc import Mapping
from functools import lru_cache
from pathlib import PurePosixPath
from typing import Literal

from dossier.charts import palette
from dossier.edition.view import Sender
from dossier.render.beside import ASSETS
from dossier.theme import Accent, Theme, accent, colours

Kind = Literal["site", "bench", "statement"]
"""Whose pages a style sheet is for: a client's, the workshop's, or a stranger's."""
# In the order of the cascade; a theme's further sheets follow by name.
SHEETS: Mapping[Kind, tuple[str, ...]] = {
    "site": ("fonts", "base", "parts", "layout", "paper"),
    "bench": ("fonts", "base", "parts", "layout", "bench", "paper"),
    "statement": ("fonts", "base", "parts", "layout", "statement", "paper"),
}
MARK = "screen/mark.svg"
FIRST_FACES = (
    "fonts/dossier-text-regular.woff2",
    "fonts/dossier-text-italic.woff2",
    "fonts/dossier-text-bold.woff2",
    "fonts/dossier-figures-regular.woff2",
    "fonts/dossier-figures-bold.woff2",
)
_URL = re.compile(r'url\("([^"]+)"\)')
_LATE = {"site": "optional"}
"""What happens to a face that comes late: on a page that is fetched, nothing that is read jumps."""


def site_assets(theme: Theme, sender: Sender, kind: Kind = "site") -> dict[str, bytes]:
    """The shared files of a site by their path below its root."""
    style = _style(theme, accent(theme, sender.accent)[0], kind)
    fonts = {hashed(path, data): data for path, data in _fonts(theme).items()}
    return {stylesheet(theme, sender, kind): style, mark(theme): theme.files[MARK], **fonts}


def script(theme: Theme, name: str) -> str:
    """The path of one of the theme's own scripts below the site's root."""
    path = f"screen/{name}.js"
    return hashed(path, theme.files[path])


def stylesheet(theme: Theme, sender: Sender, kind: Kind = "site") -> str:
    """The style sheet's path below the site's root."""
    return hashed(f"screen/{kind}.css", _style(theme, accent(theme, sender.accent)[0], kind))


def mark(theme: Theme) -> str:
    """The path of the sign that a browser shows beside a page's title."""
    return hashed(MARK, theme.files[MARK])


def first_faces(theme: Theme) -> tuple[str, ...]:
    """The faces that every page begins with, so that a browser asks for them at once."""
    return tuple(hashed(path, theme.files[path]) for path in FIRST_FACES if path in theme.files)


def hashed(path: str, data: bytes) -> str:
    """A file's path among the assets: its name with ten digits of its SHA-256."""
    name = PurePosixPath(path)
    return f"{ASSETS}/{name.stem}-{hashlib.sha256(data).hexdigest()[:10]}{name.suffix}"


def sheets(theme: Theme, kind: Kind = "site") -> tuple[str, ...]:
    """The theme's style sheets for these pages, in the order in which they apply."""
    known = {f"screen/{name}.css" for names in SHEETS.values() for name in names}
    more = {path for path in theme.files if re.fullmatch(r"screen/[^/]+\.css", path)}
    return tuple(f"screen/{name}.css" for name in SHEETS[kind]) + tuple(sorted(more - known))


@lru_cache(maxsize=24)
def _style(theme: Theme, shop: Accent, kind: Kind) -> bytes:
    """All sheets as one file, the fonts' addresses by their hashed names."""
    text = "\n".join((tokens(theme, shop), *(theme.text(path) for path in sheets(theme, kind))))
    names = {
        f"../{path}": PurePosixPath(hashed(path, data)).name for path, data in _fonts(theme).items()
    }
    late = text.replace("font-display: swap", f"font-display: {_LATE.get(kind, 'swap')}")
    return _URL.sub(lambda match: f'url("{names[match[1]]}")', late).encode()


def _fonts(theme: Theme) -> dict[str, bytes]:
    return {path: data for path, data in theme.files.items() if path.endswith(".woff2")}


def tokens(theme: Theme, shop: Accent) -> str:
    """The colours of the page and of its charts as custom properties, for light and dark."""
    ground = colours(theme)
    light = _properties(ground["light"], shop.light, palette.LIGHT)
    dark = _properties(ground["dark"], shop.dark, palette.DARK)
    return (
        "@layer tokens, base, parts, layout, bench, paper;\n"
        f"@layer tokens {{\n:root {{\n{light}}}\n"
        f"@media screen and (prefers-color-scheme: dark) {{\n:root {{\n{dark}}}\n}}\n}}\n"
    )


def both_lights(theme: Theme, sender: Sender) -> bytes:
    """The properties of both lights, each for a place of its own on one page."""
    shop, ground = accent(theme, sender.accent)[0], colours(theme)
    light = _properties(ground["light"], shop.light, palette.LIGHT)
    dark = _properties(ground["dark"], shop.dark, palette.DARK)
    return (
        f".in-light {{\n  color-scheme: light;\n{light}}}\n"
        f".in-dark {{\n  color-scheme: dark;\n{dark}}}\n"
    ).encode()


def _properties(ground: Mapping[str, str], own: str, chart: palette.Palette) -> str:
    page = {f"--{token}": value for token, value in ground.items()} | {"--accent": own}
    drawn = {palette.property_of(token): value for token, value in palette.tokens(chart).items()}
    drawn[palette.property_of("ground")] = ground["sheet"]
    return "".join(f"  {name}: {value};\n" for name, value in (page | drawn).items())
