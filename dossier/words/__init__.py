"""Message catalogues, handed on as a value.

Every sentence that a reader of a page sees is looked up here, so that an edition can speak
another language without a second code path.  The English sentence is the key (gettext's habit);
a missing translation shows the English, never nothing.
"""

from __future__ import annotations

import gettext
from dataclasses import dataclass
from importlib import resources

FALLBACK = "en"


@dataclass(frozen=True, slots=True)
class Words:
    """The sentences of one language.  `locale` is what numbers and dates are formatted for."""

    locale: str
    catalogue: gettext.NullTranslations

    @property
    def language(self) -> str:
        """The language part of the locale, for HTML and PDF."""
        return self.locale.replace("_", "-")

    def __call__(self, sentence: str, /, **values: object) -> str:
        """The sentence in this language with its values put in by name."""
        return self.catalogue.gettext(sentence).format(**values)

    def plural(self, one: str, many: str, n: int, /, **values: object) -> str:
        """The sentence for a count; `{n}` stands for it."""
        return self.catalogue.ngettext(one, many, n).format(n=n, **values)

    def term(self, word: str) -> str:
        """A single word of a fixed list (a grade, a component, a kind) in this language."""
        return self.catalogue.gettext(word) if word else ""


def load(locale: str) -> Words:
    """The words for a locale such as "en-GB"; the nearest catalogue that there is, else English."""
    tag = locale.replace("-", "_")
    for name in (tag, tag.split("_")[0]):
        found = resources.files(__package__).joinpath(f"{name}.mo")
        if found.is_file():
            with found.open("rb") as stream:
                return Words(tag, gettext.GNUTranslations(stream))
    return Words(tag, gettext.NullTranslations())
