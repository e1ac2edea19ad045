"""Names that become parts of addresses: lower-case letters, digits and hyphens.

They stand here by themselves, for a shell that completes a name has no time to load a reader.
"""

from __future__ import annotations

import re
import unicodedata

_SLUG = re.compile(r"[a-z0-9]+(?:-[a-z0-9]+)*")


def is_slug(text: str) -> bool:
    """Whether a name is lower-case letters, digits and hyphens."""
    return _SLUG.fullmatch(text) is not None


def likely_slug(text: str) -> str:
    """The slug that a name with capitals, spaces or accents comes to; may be empty."""
    plain = unicodedata.normalize("NFKD", text.casefold()).encode("ascii", "ignore").decode()
    return re.sub(r"[^a-z0-9]+", "-", plain).strip("-")
