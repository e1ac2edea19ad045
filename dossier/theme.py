"""The theme: its files wherever they lie, its colours, and whether a shop's own can be read.

A theme is a folder of templates, style sheets and fonts.  A shop's own folder replaces it file by
file, so that a changed heading needs one file and not a copy of all of them.
"""

from __future__ import annotations

import hashlib
import re
import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from functools import lru_cache
from pathlib import Path

DEFAULT = "default"
COLOURS = "colours.toml"
# WCAG 2.2, success criterion 1.4.3 (contrast, minimum)
ENOUGH = 4.5
# Thin letters on a dark ground want more than the least that is allowed; a choice, no source.
ENOUGH_ON_DARK = 7.0
TEXTS = ("ink", "soft", "accent", "good", "attention", "stop", "bench")
GROUNDS = ("paper", "sheet", "wash", "bench_wash")
_HEX = re.compile(r"#([0-9a-f]{6}|[0-9a-f]{3})", re.IGNORECASE)


@dataclass(frozen=True, slots=True, eq=False)
class Theme:
    """A theme's files by their path in it; two themes are the same when their digests are.

    `added` are the shop's own files that replace none: an addition, or a name that was mistyped.
    """

    files: Mapping[str, bytes]
    digest: str
    added: tuple[str, ...] = ()

    def text(self, path: str) -> str:
        """A file's text.  Raises KeyError where the theme has no such file."""
        return self.files[path].decode()

    def __eq__(self, other: object) -> bool:
        return isinstance(other, Theme) and other.digest == self.digest

    def __hash__(self) -> int:
        return hash(self.digest)


@dataclass(frozen=True, slots=True)
class Accent:
    """A shop's colour as it stands on light and on dark ground, each #rrggbb."""

    light: str
    dark: str


def theme_of(files: Mapping[str, bytes], added: tuple[str, ...] = ()) -> Theme:
    """A theme from its files; the digest is SHA-256 over the sorted paths and their bytes."""
    total = hashlib.sha256()
    for path in sorted(files):
        total.update(f"{path}\0{len(files[path])}\0".encode())
        total.update(files[path])
    return Theme(dict(files), total.hexdigest(), added)


def find_theme(own: Path | None = None) -> Theme:
    """The theme of this installation, with a shop's own folder laid over it file by file."""
    base = _read(_home() / DEFAULT)
    over = _read(own) if own is not None and own.is_dir() else {}
    return theme_of({**base, **over}, tuple(sorted(set(over) - set(base))))


def fonts_folder() -> Path:
    """Where the theme's own faces lie as files, for the chart compiler to measure text by."""
    return _home() / DEFAULT / "fonts"


def _home() -> Path:
    """In a wheel the themes lie within the package, in a checkout beside it."""
    package = Path(__file__).resolve().parent
    packed = package / "_themes"
    return packed if packed.is_dir() else package.parent / "themes"


def _read(folder: Path) -> dict[str, bytes]:
    """All files below a folder but hidden ones."""
    found = {}
    for path in sorted(folder.rglob("*")):
        name = path.relative_to(folder)
        if path.is_file() and not any(part.startswith(".") for part in name.parts):
            found[name.as_posix()] = path.read_bytes()
    return found


@lru_cache(maxsize=8)
def colours(theme: Theme) -> Mapping[str, Mapping[str, str]]:
    """The theme's colour tokens: {"light": {token: "#rrggbb"}, "dark": {…}}.

    Raises ValueError where a value is no colour, KeyError where light or dark is missing.
    """
    given = tomllib.loads(theme.text(COLOURS))
    for ground in ("light", "dark"):
        for token, value in given[ground].items():
            if not isinstance(value, str) or not _HEX.fullmatch(value):
                raise ValueError(f"{COLOURS}: [{ground}] {token} is no colour such as #2f5d50")
    return {ground: dict(given[ground]) for ground in ("light", "dark")}


def broken(theme: Theme) -> str:
    """What is wrong with the theme's table of colours, as a sentence; "" where it can be used."""
    house = tomllib.loads((_home() / DEFAULT / COLOURS).read_text("utf-8"))
    try:
        own = colours(theme)
    except (ValueError, KeyError, AttributeError) as error:
        missing = isinstance(error, KeyError)
        return f"{COLOURS}: [{error.args[0]}] is missing" if missing else _named(str(error))
    for ground in ("light", "dark"):
        for token in house[ground]:
            if token not in own[ground]:
                return f"{COLOURS}: [{ground}] {token} is missing"
    return ""


def _named(text: str) -> str:
    return text if text.startswith(COLOURS) else f"{COLOURS}: {text}"


def pale(theme: Theme) -> tuple[str, ...]:
    """Each text colour of the theme that can't be read on one of its grounds, as a sentence."""
    return tuple(
        f"{COLOURS}: [{ground}] {text} on {under} has a contrast of "
        f"{contrast(tokens[text], tokens[under]):.1f} to 1, and text needs {ENOUGH}"
        for ground, tokens in colours(theme).items()
        for text in TEXTS
        for under in GROUNDS
        if contrast(tokens[text], tokens[under]) < ENOUGH
    )


def accent(theme: Theme, wanted: str) -> tuple[Accent, str]:
    """The shop's colour for links and headings, and why it was not taken ("" where it was).

    A colour that can't be read on the theme's light ground gives way to the theme's own.  On the
    dark ground it is mixed with white until it can be read.
    """
    tokens = colours(theme)
    own = Accent(tokens["light"]["accent"], tokens["dark"]["accent"])
    if not wanted:
        return own, ""
    if not _HEX.fullmatch(wanted):
        return own, f"“{wanted}” is no colour such as #2f5d50; the theme's own is used"
    grounds = tuple(tokens["light"][name] for name in ("paper", "sheet", "wash"))
    least = min(contrast(wanted, ground) for ground in grounds)
    if least < ENOUGH:
        return own, (
            f"{wanted} has a contrast of {least:.1f} to 1 on the page, and text needs {ENOUGH}; "
            "the theme's own colour is used: take a darker one"
        )
    return Accent(_long(wanted), _lightened(wanted, tokens["dark"])), ""


def _lightened(colour: str, dark: Mapping[str, str]) -> str:
    """The colour with as little white as makes it readable on every dark ground."""
    grounds = tuple(dark[name] for name in ("paper", "sheet", "wash"))
    start = _channels(colour)
    for step in range(101):
        mixed = tuple(round(value + (255 - value) * step / 100) for value in start)
        text = "#" + "".join(f"{value:02x}" for value in mixed)
        if all(contrast(text, ground) >= ENOUGH_ON_DARK for ground in grounds):
            return text
    return "#ffffff"


def contrast(one: str, other: str) -> float:
    """The contrast ratio of two colours, 1 to 21 (WCAG 2.2, "contrast ratio")."""
    light, dark = sorted((_luminance(one), _luminance(other)), reverse=True)
    return (light + 0.05) / (dark + 0.05)


def _luminance(colour: str) -> float:
    """Relative luminance, 0 to 1 (WCAG 2.2, "relative luminance")."""
    red, green, blue = (_linear(value / 255) for value in _channels(colour))
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def _linear(value: float) -> float:
    return value / 12.92 if value <= 0.04045 else ((value + 0.055) / 1.055) ** 2.4


def _channels(colour: str) -> tuple[int, int, int]:
    digits = _long(colour)[1:]
    return int(digits[:2], 16), int(digits[2:4], 16), int(digits[4:], 16)


def _long(colour: str) -> str:
    digits = colour[1:].lower()
    return "#" + (digits if len(digits) == 6 else "".join(digit * 2 for digit in digits))
