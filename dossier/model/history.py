"""What the reader hands on: the whole notebook, and one instrument's history cut from it."""

from __future__ import annotations

from dossier.model.client import Client
from dossier.model.instrument import Instrument
from dossier.model.record import frozen
from dossier.model.room import Room
from dossier.model.shop import Shop
from dossier.model.visit import Visit


@frozen
class History:
    """One instrument with everything that its pages may draw on.

    `visits` are in order of date, then of their order on that day; `rooms` are those that the
    instrument stands or stood in, by slug.
    """

    shop: Shop
    client: Client
    instrument: Instrument
    visits: tuple[Visit, ...]
    rooms: dict[str, Room]

    @property
    def reference_hz(self) -> float:
        own = self.instrument.reference_hz
        return float(own if own is not None else self.shop.reference_hz)


@frozen
class Notebook:
    """All that could be read.

    `stopped` are the instruments that must not be published, because a note of theirs, their
    client's or their room's could not be read; they may be missing from `instruments`.
    """

    shop: Shop
    clients: dict[str, Client]
    instruments: dict[str, Instrument]
    visits: dict[str, tuple[Visit, ...]]
    rooms: dict[str, Room]
    stopped: frozenset[str] = frozenset()

    def history(self, instrument: str) -> History:
        """The history of one instrument; KeyError where it or its client is not there."""
        found = self.instruments[instrument]
        stood = {standing.room for standing in found.standings}
        return History(
            shop=self.shop,
            client=self.clients[found.client],
            instrument=found,
            visits=self.visits.get(instrument, ()),
            rooms={name: self.rooms[name] for name in sorted(stood) if name in self.rooms},
        )

    def held(self) -> frozenset[str]:
        """The clients whose pages stay as they are, because a note of theirs says hold."""
        return frozenset(
            self.instruments[name].client
            for name, visits in self.visits.items()
            if name in self.instruments and any(visit.hold for visit in visits)
        )
