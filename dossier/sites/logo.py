"""The shop's logo for the pages that belong to no instrument: lists, guide, first pages."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace

from dossier.diagnostics import Diagnostic, Span
from dossier.model import Notebook
from dossier.pictures import LOGO_SIDE, PictureError
from dossier.render.beside import PictureFile, unnamed
from dossier.tasks import Hand


@dataclass(frozen=True, slots=True)
class Logo:
    """The logo by its own name, for a page, and its one file below the site's root.

    `data` is its picture as the shop has it, for an instrument's own pages; `fault` says why it
    can't be used, which stops every instrument.
    """

    pictures: Mapping[str, PictureFile]
    files: Mapping[str, bytes]
    data: bytes | None = None
    fault: Diagnostic | None = None


NO_LOGO = Logo({}, {})


def shop_logo(notebook: Notebook, sources: Mapping[str, bytes], hand: Hand) -> Logo:
    """The logo, small as a page's head shows it; tried once, so that a bad one is told once."""
    name, place = notebook.shop.look.logo, notebook.shop.place_of("logo")
    if not name:
        return NO_LOGO
    try:
        data = sources[name]
        made = hand.picture(data, name, LOGO_SIDE)
    except OSError as error:
        return replace(NO_LOGO, fault=unread(name, place, error, "shop:"))
    except PictureError as error:
        message = f"No page could be made. {error}"
        return replace(NO_LOGO, fault=Diagnostic("not-built", message, place, stops=("shop:",)))
    path = unnamed(made.thumb, made.suffix)
    shown = PictureFile(path, made.width, made.height, thumb=path, thumb_width=made.thumb_width)
    return Logo({name: shown}, {path: made.thumb}, data)


def unread(name: str, place: Span, error: OSError, stops: str) -> Diagnostic:
    """What is told of a picture or recording that can't be opened."""
    reason = error.strerror or str(error)
    return Diagnostic(
        "unreadable",
        f"{name} cannot be opened: {reason[0].lower()}{reason[1:]}.",
        place,
        "Give yourself the right to read it, or put a smaller one in its place.",
        stops=(stops,),
    )
