"""What every page of one build stands on: the notes, how they are told, the theme, the day."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from pathlib import Path

from dossier.diagnostics import Diagnostic, Severity, Span
from dossier.edition.voice import Voice, voice_of
from dossier.model import Notebook
from dossier.read import Sources
from dossier.sites.logo import NO_LOGO, Logo, shop_logo
from dossier.tasks import Hand
from dossier.theme import Theme, accent, broken, find_theme, pale
from dossier.words import load

OWN = "theme"
_COLOURS = Span(f"{OWN}/colours.toml")


@dataclass(frozen=True, slots=True)
class Ground:
    """What pages are made from, beside what they tell."""

    notebook: Notebook
    voice: Voice
    theme: Theme
    today: date
    logo: Logo = NO_LOGO


def theme_for(content: Path) -> tuple[Theme | None, tuple[Diagnostic, ...]]:
    """The shop's theme, or None and why it can't be used.  Raises OSError."""
    theme = find_theme(content / OWN)
    if fault := broken(theme):
        hint = "Mend it, or take the file away: the house's own is then used."
        return None, (Diagnostic("theme-colours", f"{fault}.", _COLOURS, hint),)
    return theme, tuple(
        Diagnostic("theme-pale", f"{one}.", _COLOURS, severity=Severity.WARNING)
        for one in pale(theme)
    )


def ground_for(
    notebook: Notebook, sources: Sources, content: Path, today: date, hand: Hand
) -> tuple[Ground | None, tuple[Diagnostic, ...]]:
    """The ground of a shop, and what is wrong with its theme; None where that stops all pages.

    Raises OSError where the theme is out of reach.
    """
    theme, found = theme_for(content)
    if theme is None:
        return None, found
    voice = voice_of(notebook.shop, load(notebook.shop.locale))
    ground = Ground(notebook, voice, theme, today, shop_logo(notebook, sources, hand))
    return ground, (*_unreadable(notebook, theme), *found)


def _unreadable(notebook: Notebook, theme: Theme) -> tuple[Diagnostic, ...]:
    """A warning where the shop's own colour can't be read on the theme's ground."""
    look = notebook.shop.look
    _, reason = accent(theme, look.accent)
    if not reason:
        return ()
    return (Diagnostic("accent", f"{reason}.", look.span, severity=Severity.WARNING),)
