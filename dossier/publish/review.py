"""Which sentences are new or gone, client by client: to be read before they go out."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

Said = Mapping[str, tuple[str, ...]]


@dataclass(frozen=True, slots=True)
class ClientChanges:
    """What one client's pages will say that they didn't, and no longer say, in their order.

    `opens` is a client who had no pages before, `closes` one who will have none.
    """

    client: str
    new: tuple[str, ...]
    gone: tuple[str, ...]
    opens: bool = False
    closes: bool = False

    @property
    def heading(self) -> str:
        """The line that stands above the sentences."""
        if self.opens:
            return f"{self.client}: a first site, with {_sentences(len(self.new))}"
        if self.closes:
            return f"{self.client}: the site is closed"
        return f"{self.client}: {len(self.new)} new, {len(self.gone)} gone"


def changes(before: Said, after: Said) -> tuple[ClientChanges, ...]:
    """The clients whose pages say something else than before, by slug.

    A sentence that merely moved, or stands once more or once less, has not changed.
    """
    compared = (
        ClientChanges(
            client,
            new=_only(after.get(client, ()), before.get(client, ())),
            gone=_only(before.get(client, ()), after.get(client, ())),
            opens=client not in before,
            closes=client not in after,
        )
        for client in sorted({*before, *after})
    )
    return tuple(one for one in compared if one.new or one.gone or one.opens or one.closes)


def listed(found: tuple[ClientChanges, ...]) -> tuple[str, ...]:
    """The list as lines: of a site that opens or closes only that, of others each sentence."""
    lines: list[str] = []
    for one in found:
        lines.append(one.heading)
        if not one.opens and not one.closes:
            lines += [f"  + {sentence}" for sentence in one.new]
            lines += [f"  - {sentence}" for sentence in one.gone]
    return tuple(lines)


def _only(these: tuple[str, ...], those: tuple[str, ...]) -> tuple[str, ...]:
    known = frozenset(those)
    return tuple(dict.fromkeys(sentence for sentence in these if sentence not in known))


def _sentences(n: int) -> str:
    return f"{n} sentence{'s' if n != 1 else ''}"
