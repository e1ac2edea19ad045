"""What lies beside the pages that ask for it, by its path: pictures, documents, tables, scripts."""

from __future__ import annotations

import hashlib
from collections.abc import Mapping
from dataclasses import dataclass, field
from types import MappingProxyType

ASSETS = "assets"
"""The folder of what a site's pages share."""


@dataclass(frozen=True, slots=True)
class PictureFile:
    """A picture by its path below the client's root, sized for the page; `large` opens alone.

    `thumb`, `thumb_width` px wide, is the same for a small place, such as a telephone's first
    screen or a logo.
    """

    path: str
    width: int
    height: int
    large: str = ""
    thumb: str = ""
    thumb_width: int = 0


Pictures = Mapping[str, PictureFile]
NO_PICTURES: Pictures = MappingProxyType({})


@dataclass(frozen=True, slots=True)
class Beside:
    """What lies beside an instrument's page, by its path below the client's root; "" for none.

    `home` is the name of the page at that root that lists the client's instruments; `tables` the
    folder of the charts' figures; `card` the card that is left in the instrument.  `charts` is what
    a browser draws the charts anew from, and `engine` what it draws them with; a page without them
    brings no script.  `clips` are the recordings' paths by the name that the view gives them.
    """

    home: str = ""
    pdf: str = ""
    calendar: str = ""
    data: str = ""
    tables: str = ""
    card: str = ""
    charts: str = ""
    engine: str = ""
    clips: Mapping[str, str] = field(default_factory=dict)


ALONE = Beside()


def unnamed(data: bytes, suffix: str) -> str:
    """A file's path among the assets by its content alone, for its own name can tell of people."""
    return f"{ASSETS}/{hashlib.sha256(data).hexdigest()[:16]}{suffix}"
