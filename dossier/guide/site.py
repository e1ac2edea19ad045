"""The guide as pages of the bench, in English like the commands that it explains."""

from __future__ import annotations

from functools import lru_cache

from pydantic import TypeAdapter
from pydantic_core import to_json

from dossier.edition.view import Sender
from dossier.guide.contents import pages
from dossier.model import Shop
from dossier.render.beside import NO_PICTURES, PictureFile, Pictures
from dossier.render.html import guide_page
from dossier.theme import Theme
from dossier.words import FALLBACK, load


def guide_tree(
    shop: Shop, sender: Sender, theme: Theme, pictures: Pictures = NO_PICTURES
) -> dict[str, bytes]:
    """Every page by its path below the guide's own folder; made once a process for a shop."""
    return dict(_made(to_json(shop), sender, theme, tuple(sorted(pictures.items()))))


@lru_cache(maxsize=2)
def _made(
    shop: bytes, sender: Sender, theme: Theme, pictures: tuple[tuple[str, PictureFile], ...]
) -> tuple[tuple[str, bytes], ...]:
    found = pages(TypeAdapter(Shop).validate_json(shop))
    names = {f"{page.name}.md": f"{page.name}.html" for page in found}
    english = load(FALLBACK)
    return tuple(
        (f"{page.name}.html", guide_page(page, names, sender, english, theme, dict(pictures)))
        for page in found
    )
