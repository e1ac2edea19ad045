"""The shop's logo for the pages that belong to no instrument: lists, guide, first pages."""

from __future__ import annotations

import hashlib
from collections.abc import Mapping
from dataclasses import dataclass

from dossier.model import Notebook
from dossier.pictures import LOGO_SIDE, PictureError
from dossier.render.html import PictureFile
from dossier.tasks import Hand


@dataclass(frozen=True, slots=True)
class Logo:
    """The logo by its own name, for a page, and its one file below the site's root."""

    pictures: Mapping[str, PictureFile]
    files: Mapping[str, bytes]


NO_LOGO = Logo({}, {})


def shop_logo(notebook: Notebook, sources: Mapping[str, bytes], hand: Hand) -> Logo:
    """The logo, small as a page's head shows it; none where there is none or it can't be opened.

    What is wrong with it is told where the instruments are made, which it stops.
    """
    name = notebook.shop.look.logo
    if not name:
        return NO_LOGO
    try:
        made = hand.picture(sources[name], name, LOGO_SIDE)
    except (OSError, PictureError):
        return NO_LOGO
    path = f"assets/{hashlib.sha256(made.thumb).hexdigest()[:16]}{made.suffix}"
    shown = PictureFile(path, made.width, made.height, thumb=path, thumb_width=made.thumb_width)
    return Logo({name: shown}, {path: made.thumb})
