"""The kinds of work, and the verbs that people write for them."""

from __future__ import annotations

from dossier.read.pieces import key_shape

WORK_KINDS: tuple[str, ...] = (
    "tuning",
    "pitch raise",
    "pitch lowering",
    "rough tuning",
    "repair",
    "regulation",
    "voicing",
    "cleaning",
    "easing",
    "restringing",
    "treatment",
    "inspection",
    "moving",
    "humidity equipment",
    "other",
)
# What people write for what they did; the first word of a line decides where no kind stands.
_VERBS: tuple[tuple[str, str], ...] = (
    ("tuned", "tuning"),
    ("raised pitch", "pitch raise"),
    ("raised the pitch", "pitch raise"),
    ("lowered the pitch", "pitch lowering"),
    ("eased", "easing"),
    ("restrung", "restringing"),
    ("regulated", "regulation"),
    ("voiced", "voicing"),
    ("needled", "voicing"),
    ("cleaned", "cleaning"),
    ("vacuumed", "cleaning"),
    ("treated", "treatment"),
    ("inspected", "inspection"),
    ("looked", "inspection"),
    ("moved", "moving"),
    *(
        (verb, "repair")
        for verb in (
            "repaired", "mended", "spliced", "glued", "reglued", "replaced", "fixed", "renewed",
            "rebushed", "recovered", "repinned", "fitted", "plugged", "tightened", "freed",
        )
    ),
)  # fmt: skip


def kind_of_work(words: str) -> str:
    """The kind that a line of work begins with, else the kind that its verb means."""
    shape = key_shape(words)
    for kind in sorted(WORK_KINDS, key=len, reverse=True):
        if shape == kind or shape.startswith((f"{kind} ", f"{kind}s ")):
            return kind
    for verb, kind in _VERBS:
        if shape == verb or shape.startswith(f"{verb} "):
            return kind
    return "other"
