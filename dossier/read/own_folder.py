"""An instrument's own folder: its file, its scale and its visits."""

from __future__ import annotations

from dataclasses import replace
from functools import partial
from typing import Any

from dossier.diagnostics import Span
from dossier.model import Instrument
from dossier.read.instrument import read_instrument
from dossier.read.media import find_media
from dossier.read.names import dated_name, slug_of, tell_future
from dossier.read.note import open_note
from dossier.read.pieces import Findings
from dossier.read.reading import Reading, last_of
from dossier.read.remembered import Folder, key_of_folder
from dossier.read.scale import read_scale
from dossier.read.schema import Setting
from dossier.read.visit import Occasion, read_visit, setting_for, table_for


def read_instruments(reading: Reading) -> None:
    """Read every instrument's folder, or take what its bytes are known to say."""
    shop = reading.raw_of("shop.md")
    for folder in reading.folders("instruments/"):
        slug = last_of(folder)
        known_by = partial(
            key_of_folder, folder, reading.sources, shop, reading.today, reading.before.memory
        )
        key = known_by()
        known = None if key is None else reading.before.folder(slug, key)
        if known is not None:
            _take(reading, folder, slug, known)
            continue
        findings = Findings()
        _read_instrument(reading, folder, slug, findings)
        _read_visits(reading, folder, slug, findings)
        reading.scoped("instrument", slug).add(findings.all)
        if key is not None and slug in reading.instruments and key == known_by():
            visits = {visit.id: visit for _, visit in reading.visits.get(slug, ())}
            found = Folder(reading.instruments[slug], visits, findings.all)
            reading.before.keep(slug, key, found)


def _take(reading: Reading, folder: str, slug: str, known: Folder) -> None:
    """What a folder is known to say, as if it had been read now."""
    reading.instruments[slug] = known.instrument
    reading.used.add(f"{folder}instrument.md")
    if f"{folder}scale.csv" in reading.sources:
        reading.used.add(f"{folder}scale.csv")
    for path, stem in reading.files(f"{folder}visits/", ".md"):
        reading.used.add(path)
        name = dated_name(path, Findings())
        if name is not None:
            reading.keep(known.visits.get(stem), name)
    reading.scoped("instrument", slug).add(known.findings)


def _read_instrument(reading: Reading, folder: str, slug: str, findings: Findings) -> None:
    path = f"{folder}instrument.md"
    name = slug_of(slug, "an instrument", folder.rstrip("/"), findings)
    if path not in reading.sources:
        findings.error(
            "no-instrument",
            f"The folder {slug} has no instrument.md.",
            Span(path),
            "Write its client and its title in it.",
        )
        return
    raw = reading.bytes_of(path, findings)
    if raw is None or name is None:
        return
    instrument = read_instrument(raw, path, name, reading.setting, findings)
    if instrument is not None:
        reading.instruments[name] = _completed(reading, instrument, folder, findings)


def _completed(
    reading: Reading, instrument: Instrument, folder: str, findings: Findings
) -> Instrument:
    """The instrument with its scale, and with the true name of its photograph."""
    update: dict[str, Any] = {}
    if instrument.photo:
        place = instrument.place_of("photo")
        photo = find_media(instrument.photo, place, f"{folder}media/", reading.sources, findings)
        update["photo"] = photo or ""
    path = f"{folder}scale.csv"
    if path in reading.sources and (raw := reading.bytes_of(path, findings)) is not None:
        compass = (instrument.lowest_key, instrument.highest_key)
        update["scale"] = read_scale(raw, path, compass, findings)
    return replace(instrument, **update) if update else instrument


def _read_visits(reading: Reading, folder: str, slug: str, findings: Findings) -> None:
    setting = setting_for(reading.setting, reading.instruments.get(slug))
    for path, stem in reading.files(f"{folder}visits/", ".md"):
        own = Findings()
        _read_visit(reading, path, stem, slug, setting, own)
        findings.add(own.all)


def _read_visit(
    reading: Reading, path: str, stem: str, slug: str, setting: Setting, findings: Findings
) -> None:
    raw = reading.bytes_of(path, findings)
    name = dated_name(path, findings)
    note = None if raw is None else open_note(raw, path, table_for(setting), findings)
    if note is None or name is None:
        reading.unread.add(slug)
    if note is None:
        return
    # A note without a good name is read all the same, to find its other mistakes.
    day = name.day if name else reading.today
    visit = read_visit(note, Occasion(slug, stem, day), setting, findings)
    if name is not None:
        tell_future(name.day, reading.today, path, findings)
        reading.keep(visit, name)
