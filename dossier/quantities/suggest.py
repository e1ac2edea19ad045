"""Finds what a misspelt word was meant to be, and whether it can only be that."""

from collections.abc import Iterable

# Two of three letters right, as in UDS for USD.
_LIKE_ENOUGH = 0.65
# Letters of the shortest word that may hold a slip, and of one that may hold two.
_SHORTEST, _LONG = 3, 8


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


def sure(word: str, candidates: Iterable[str]) -> str | None:
    """The one candidate that a slip of the finger made this word of; None for none or for two.

    A slip is a letter left out, doubled, mistaken or changed with its neighbour. A word of eight
    letters or more may hold two of them, one of two letters none.
    """
    wrong = _shape(word)
    most = 0 if len(wrong) < _SHORTEST else 1 if len(wrong) < _LONG else 2
    slips = {one: _slips(wrong, _shape(one), most) for one in candidates}
    near = [one for one, count in slips.items() if count <= (0 if 0 in slips.values() else most)]
    return near[0] if len(near) == 1 else None


def _slips(one: str, other: str, most: int) -> int:
    """How many slips part two words (Damerau and Levenshtein); anything beyond `most` is more."""
    if abs(len(one) - len(other)) > most:
        return most + 1
    before: list[int] = []
    row = list(range(len(other) + 1))
    for at, letter in enumerate(one, 1):
        last, before, row = before, row, [at]
        for to, meant in enumerate(other, 1):
            cost = min(before[to] + 1, row[to - 1] + 1, before[to - 1] + (letter != meant))
            if at > 1 < to and letter == other[to - 2] and one[at - 2] == meant:
                cost = min(cost, last[to - 2] + 1)
            row.append(cost)
    return row[-1]


def _shape(word: str) -> str:
    return " ".join(word.casefold().replace("-", " ").replace("_", " ").split())
