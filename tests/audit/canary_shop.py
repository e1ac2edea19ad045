"""A random shop of two clients and at most two instruments, with a canary in all that is written.

What was given to the shop on purpose stands in its `Plan`; all else follows from the keys that the
reader knows.
"""

from __future__ import annotations

import random
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, field
from datetime import date
from typing import Any

from dossier.publish.state import Link
from dossier.read import Field
from dossier.read.client import EDITIONS, RELEASABLE
from dossier.read.provenance import EVENT_KINDS
from dossier.schemas.schema import _fields as fields_of
from tests.audit.canary_pictures import photograph
from tests.audit.canary_values import AMOUNT, DAY, SETTING, TEXT, filled, forms, written
from tests.recordings import samples

TODAY = date(2026, 6, 1)
SOLD = date(2024, 6, 15)
DAYS = ("2023-03-01", "2024-03-02", "2025-03-03")
Value = Callable[[Any, "Pen"], Any]


@dataclass(frozen=True)
class Plan:
    """What was meant: how much is written, what changed hands, whose links there are, what is
    on hold."""

    first: str
    density: float
    second: str = ""
    sold: bool = False
    held: bool = False
    links: tuple[Link, ...] = ()


@dataclass(frozen=True)
class CanaryShop:
    """The notes by path, the plan, and the colour of each picture by its path."""

    seed: int
    files: Mapping[str, bytes]
    plan: Plan
    colours: Mapping[str, tuple[int, int, int]]

    def __repr__(self) -> str:
        return f"shop_of({self.seed})"


@dataclass
class Pen:
    """Writes the notes of one shop: its dice, its canaries, and what earlier notes spoke of."""

    dice: random.Random
    density: float
    canaries: int = 0
    files: dict[str, bytes] = field(default_factory=dict)
    colours: dict[str, tuple[int, int, int]] = field(default_factory=dict)
    folder: str = ""
    rooms: tuple[str, str] = ("", "")
    client: str = ""
    known: dict[str, list[str]] = field(default_factory=dict)

    def canary(self, place: str = TEXT) -> str:
        self.canaries += 1
        if place == AMOUNT:
            return f"{7_000_000 + self.canaries * 613 % 1_000_000}.19"
        if place == DAY:
            return date.fromordinal(date(1971, 1, 2).toordinal() + self.canaries * 3).isoformat()
        return f"qz{self.canaries:05d}xq"

    def keys(
        self, kind: str, special: Mapping[str, Value | None], *musts: str
    ) -> Iterator[tuple[str, Any]]:
        """Some of the keys of a kind of file, each in one of its forms; `special` by the plan."""
        for row in fields_of(kind, SETTING):
            if row.key in special and special[row.key] is None:
                continue
            if row.key in musts or self.dice.random() < self.density:
                yield from self._key(kind, row, special.get(row.key))

    def _key(self, kind: str, row: Field, special: Value | None) -> Iterator[tuple[str, Any]]:
        some = [self._value(kind, row, special) for _ in range(self.dice.choice((1, 1, 2)))]
        told = [one for one in some if one is not None][: None if row.many else 1]
        if not told:
            return
        told = told[0] if row.many and isinstance(told[0], list) else told
        spelt = self.dice.choice((row.key, row.key.title(), row.key.replace(" ", "_")))
        yield spelt, told if len(told) > 1 else told[0]
        if row.slugged and self.dice.random() < self.density:
            slug = self.canary()
            self.known.setdefault(row.key, []).append(slug)
            yield f"{row.key} ({slug})", f"It squeaks {self.canary()}"

    def _value(self, kind: str, row: Field, special: Value | None) -> Any:
        value = filled(self.dice.choice(forms(kind, row)), self.canary)
        if row.slugged and isinstance(value, dict) and "slug" in value:
            self.known.setdefault(row.key, []).append(value["slug"])
        return special(value, self) if special else value

    def note(
        self, path: str, values: Iterator[tuple[str, Any]] | dict[str, Any], body: str
    ) -> None:
        self.files[path] = f"{written(dict(values))}{filled(body, self.canary)}\n".encode()

    def picture(self, path: str) -> str:
        """The name of a new picture in a folder, which tells of it as a telephone's would."""
        name = f"{self.canary()}.{self.dice.choice(('jpg', 'png', 'webp'))}"
        at = len(self.colours)
        levels = (30, 90, 150, 210)
        self.colours[f"{path}{name}"] = (levels[at // 16], levels[at // 4 % 4], levels[at % 4])
        self.files[f"{path}{name}"] = photograph(name, self.colours[f"{path}{name}"], self.canary)
        return name


PROSE = """Hello ⟦text⟧, see [the ⟦text⟧](https://⟦text⟧.example/⟦text⟧).

::: bench
Between us: ⟦text⟧
:::

And ⟦text⟧."""
RELEASES = ("sale", "appraisal", "sale, appraisal")


def shop_of(seed: int) -> CanaryShop:
    """The shop that a seed makes; every fifth has all keys, the others some, as most shops do."""
    dice = random.Random(seed)
    pen = Pen(dice, dice.choice((1.0, 0.5, 0.3, 0.3, 0.2)))
    clients = [pen.canary() for _ in range(3)]
    pen.note("shop.md", {**dict(pen.keys("shop", _SHOP, "name", "technician", "phone", "logo"))},
             "About ⟦text⟧.")  # fmt: skip
    for at, client in enumerate(clients):
        special = {**_CLIENT, "status": _said("active") if at < 2 else _said("left")}
        pen.note(f"clients/{client}.md", pen.keys("client", special, "name"), "Knows ⟦text⟧.")
    sold = dice.random() < 0.5
    first = _instrument(pen, clients[0], clients[1] if sold else "")
    second, other = "", dice.choice((clients[0], clients[1], ""))
    if other:
        second = _instrument(pen, other, "")
    held = dice.random() < 0.08
    if held:
        _hold(pen, first)
    _inbox(pen, first)
    _round(pen, clients[0], first, second if other == clients[0] else "")
    plan = Plan(first, pen.density, second, sold, held, _links(pen, clients[0], clients[1], first))
    return CanaryShop(seed, pen.files, plan, pen.colours)


def _instrument(pen: Pen, client: str, before: str) -> str:
    name = pen.canary()
    pen.client, pen.folder, pen.known = client, f"instruments/{name}/", {}
    pen.rooms = (pen.canary(), pen.canary())
    whose = (before or client, client)
    for room, theirs in zip(pen.rooms, whose, strict=True):
        values = dict(pen.keys("room", {"client": _said(theirs)}, "name"))
        pen.note(f"rooms/{room}.md", values, "Up ⟦text⟧.\n\n::: owner\nThe ⟦text⟧.\n:::")
        log = "time (UTC),temperature (°C),humidity (%)\n" + "".join(
            f"{year}-0{month}-01T06:00:00Z,20,{40 + month}\n"
            for year in (2023, 2025)
            for month in range(1, 10)
        )
        pen.files[f"rooms/{room}/{pen.canary()}.csv"] = log.encode()
    values = dict(pen.keys("instrument", _INSTRUMENT, "client", "title", "stands", "photo"))
    values = {key: one for key, one in values.items() if key.casefold() != "provenance"}
    values["provenance"] = _provenance(pen, client if before else "")
    pen.note(f"{pen.folder}instrument.md", values,
             "Of it ⟦text⟧.\n\n::: bench\nNo ⟦text⟧.\n:::")  # fmt: skip
    for day in DAYS[: pen.dice.choice((2, 3))]:
        word = f"-{pen.canary()}" if pen.dice.random() < 0.5 else ""
        pen.note(f"{pen.folder}visits/{day}{word}.md", pen.keys("visit", _VISIT), PROSE)
    return name


def _provenance(pen: Pen, buyer: str) -> list[Any]:
    row = next(one for one in fields_of("instrument", SETTING) if one.key == "provenance")
    events = [filled(pen.dice.choice(forms("instrument", row)), pen.canary) for _ in range(3)]
    for event in events:
        if isinstance(event, dict):
            event.pop("client", None)
            event["when"] = pen.dice.choice(("1912~", "2022-03", "2025-01"))
            event["kind"] = pen.dice.choice(EVENT_KINDS)
            event.update({"room": pen.rooms[0]} if "room" in event else {})
    sale = {"when": SOLD.isoformat(), "kind": "sold", "client": buyer}
    sale |= {key: pen.canary() for key in ("text", "source", "holder")}
    return [*events, *([sale] if buyer else [])]


def _inbox(pen: Pen, instrument: str) -> None:
    if pen.dice.random() < 0.3:
        special: dict[str, Value | None] = {**_VISIT, **_BY_ITSELF}
        special |= {"instrument": _said(instrument), "date": None}
        keys = pen.keys("inbox", special, "instrument")
        pen.note(f"inbox/2025-09-01-{pen.canary()}.md", keys, PROSE)


def _round(pen: Pen, client: str, *instruments: str) -> None:
    if pen.dice.random() > 0.3:
        return
    special: dict[str, Value | None] = {**_VISIT, **_BY_ITSELF, "client": _said(client)}
    rows = "\n".join(
        f"| {name} | {4 + at} flat | tuning ⟦text⟧, ⟦amount⟧ EUR | it buzzes ⟦text⟧ | ⟦text⟧ "
        "| ⟦text⟧ |"
        for at, name in enumerate(one for one in instruments if one)
    )
    table = "| instrument | found | work | problem | remark | bench |\n|---|---|---|---|---|---|\n"
    day = f"rounds/2025-10-01-{pen.canary()}.md"
    pen.note(day, pen.keys("round", special, "technician"), f"All ⟦text⟧.\n\n{table}{rows}")


def _hold(pen: Pen, instrument: str) -> None:
    path = f"instruments/{instrument}/visits/2025-11-01.md"
    pen.note(path, {"hold": "yes", "work": f"tuning {pen.canary()}"}, PROSE)


def _links(pen: Pen, client: str, other: str, instrument: str) -> tuple[Link, ...]:
    """The client's own link and one of the first instrument alone, and others that are shut."""

    def link(target: str, **more: Any) -> Link:
        token = f"{pen.dice.getrandbits(160):040x}"
        kind = "instrument" if "/" in target else "client"
        return Link.model_validate(
            {"token": token, "kind": kind, "target": target, "label": pen.canary(),
             "made": date(2026, 1, 1), **more}
        )  # fmt: skip

    return (
        link(client),
        link(f"{client}/{instrument}", last_day=date(2026, 12, 1)),
        link(client, last_day=date(2026, 2, 1)),
        link(f"{other}/{instrument}"),
        link(other, withdrawn=date(2026, 2, 1)),
        link(other),
    )


def _said(word: str) -> Value:
    return lambda _, pen: word  # noqa: ARG005  # what a form says gives way to the plan


def _release(_: Any, pen: Pen) -> Any:
    words = pen.dice.sample(RELEASABLE, pen.dice.randint(1, len(RELEASABLE)))
    return {
        edition: ", ".join(words) for edition in pen.dice.sample(EDITIONS, pen.dice.randint(1, 2))
    }


def _stands(value: Any, pen: Pen) -> Any:
    place = value.partition(",")[2]
    return [f"{pen.rooms[0]},{place}",
            f"{pen.rooms[1]},{filled(', warm ⟦text⟧, lamp ⟦text⟧ near', pen.canary)[1:]}"
            .replace(",", ", since 2024-07,", 1)]  # fmt: skip


def _photo(_: Any, pen: Pen) -> Any:
    return pen.picture(f"{pen.folder}media/")


def _photos(value: Any, pen: Pen) -> Any:
    name = pen.picture(f"{pen.folder}media/")
    if isinstance(value, dict):
        if "release" in value:
            value = {**value, "release": pen.dice.choice(RELEASES)}
        return {**value, "file": name}
    return f"{name} {value.partition(' ')[2]}"


def _audio(value: Any, pen: Pen) -> Any:
    name = f"{pen.canary()}.mp3"
    pen.files[f"{pen.folder}media/{name}"] = _telling(samples.mp3(), pen)
    return _named(value, name)


def _video(value: Any, pen: Pen) -> Any:
    name = f"{pen.canary()}.mp4"
    film = samples.mp4(samples.SHOWN, samples.SOUND, samples.PLACES)
    pen.files[f"{pen.folder}media/{name}"] = _telling(film, pen)
    return _named(value, name)


def _telling(recording: bytes, pen: Pen) -> bytes:
    """The recording with a canary wherever a telephone would write the place."""
    said = pen.canary().encode()
    return recording.replace(samples.PLACE, said.ljust(len(samples.PLACE)))


def _named(value: Any, name: str) -> Any:
    if isinstance(value, dict):
        return {**value, "file": name}
    return f"{name} {value.partition(' ')[2]}"


def _news(of: str) -> Value:
    def told(value: Any, pen: Pen) -> Any:
        known = pen.known.get(of)
        if not known:
            return None
        which = pen.dice.choice(known)
        if isinstance(value, dict):
            return {**value, of: which}
        return ", ".join((which, *value.split(", ")[1:]))

    return told


_SHOP: Mapping[str, Value | None] = {
    "logo": lambda _, pen: pen.picture(""),
    "locale": _said("en-GB"),
    "currency": lambda _, pen: pen.dice.choice(("EUR", "USD")),
    "thresholds": None,
    "measured kinds": None,
    "marks": None,
}
_CLIENT: Mapping[str, Value | None] = {"release": _release}
_INSTRUMENT: Mapping[str, Value | None] = {
    "client": lambda _, pen: pen.client,
    "photo": _photo,
    "stands": _stands,
}
_VISIT: Mapping[str, Value | None] = {
    "photos": _photos,
    "audio": _audio,
    "video": _video,
    "hold": None,
    "release": lambda _, pen: pen.dice.choice(RELEASES),
    **{key: _news("problem") for key in ("watched", "diagnosed", "fixed", "reopened")},
    **{key: _news("advice") for key in ("agreed", "declined", "done")},
}
# What a note beside the instrument's own folder can't speak of: its files and its named matters.
_BY_ITSELF: Mapping[str, Value | None] = dict.fromkeys(
    ("photos", "audio", "video", "watched", "diagnosed", "fixed", "reopened", "agreed",
     "declined", "done", "problem", "advice")
)  # fmt: skip
