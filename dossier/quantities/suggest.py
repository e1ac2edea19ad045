"""Finds what a misspelt word was meant to be."""

from collections.abc import Iterable

# Two of three letters right, as in UDS for USD.
_LIKE_ENOUGH = 0.65


def suggest(word: str, candidates: Iterable[str]) -> str | None:
    """Name the candidate that a misspelt word most resembles, or None if none is near.

    A message that only says "unknown" leaves a technician at the kerb to guess; one that names
    the nearest known word is mended at a glance. Letter case, hyphens and underscores do not
    count; of two equally near candidates the earlier one wins.
    """
    from difflib import SequenceMatcher

    matcher = SequenceMatcher(autojunk=False)
    matcher.set_seq2(_shape(word))
    best, likeness = None, _LIKE_ENOUGH
    for candidate in candidates:
        matcher.set_seq1(_shape(candidate))
        if matcher.quick_ratio() > likeness and (ratio := matcher.ratio()) > likeness:
            best, likeness = candidate, ratio
    return best


def _shape(word: str) -> str:
    return " ".join(word.casefold().replace("-", " ").replace("_", " ").split())
