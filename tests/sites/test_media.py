"""A build holds no picture and no recording: each is read when its pages are made."""

from __future__ import annotations

import pickle
import time
from dataclasses import replace
from functools import partial
from pathlib import Path
from unittest.mock import patch

import pytest

from dossier.read import open_folder
from dossier.sites.cache import Cache, key_for
from dossier.sites.jobs import make_all
from dossier.sites.media import Media, MediaError, sums
from dossier.sites.workers import processes
from dossier.sources import Sources
from dossier.untouched import Untouched
from tests.build.small_shop import Shop, small_shop

PINS = "instruments/heron/media/pins.jpg"


def media(files: dict[str, bytes]) -> Media:
    found = Media("media/", sources(files))
    for name in ("pins.jpg", "after.mp3"):
        found.note(name)
    return found


def sources(files: dict[str, bytes]) -> Sources:
    """Files in memory that may change between two looks."""
    return Sources({path: partial(files.__getitem__, path) for path in files})


FILES = {"media/pins.jpg": b"pins", "media/after.mp3": b"a chord", "media/other.jpg": b"other"}


def test_media_are_a_mapping_of_what_was_noted_read_anew_each_time() -> None:
    asked: list[str] = []

    def telling(path: str) -> bytes:
        asked.append(path)
        return FILES[path]

    found = Media("media/", Sources({path: partial(telling, path) for path in FILES}))
    found.note("pins.jpg")
    assert dict(found) == {"pins.jpg": b"pins"}
    assert found["pins.jpg"] == b"pins"
    assert "other.jpg" not in found
    assert asked == ["media/pins.jpg"] * 3
    assert sums(found) == sums({"pins.jpg": b"pins"})
    assert asked == ["media/pins.jpg"] * 3


def test_another_process_gets_the_bytes() -> None:
    there = pickle.loads(pickle.dumps(media(FILES)))  # noqa: S301 -- of this test alone
    assert there == {"pins.jpg": b"pins", "after.mp3": b"a chord"}
    assert type(there) is dict


def test_what_is_another_than_when_the_build_began_is_refused(tmp_path: Path) -> None:
    files = dict(FILES)
    found = media(files)
    files["media/pins.jpg"] = b"scratched"
    with pytest.raises(MediaError, match=r"pins\.jpg was changed meanwhile\. Build again\."):
        pickle.dumps(found)
    (tmp_path / "media").mkdir()
    (tmp_path / "media/pins.jpg").write_bytes(b"pins")
    on_disk = Media("media/", open_folder(tmp_path))
    on_disk.note("pins.jpg")
    (tmp_path / "media/pins.jpg").unlink()
    with pytest.raises(MediaError, match=r"pins\.jpg was taken away meanwhile\. Build again\."):
        on_disk["pins.jpg"]


@pytest.fixture
def shop(tmp_path: Path) -> Shop:
    made = small_shop(tmp_path)
    made.says(
        "instruments/heron/visits/2026-03-14.md", "work: tuning", "work: tuning\nphoto: pins.jpg"
    )
    made.write(PINS, b"no picture")
    return made


@pytest.mark.slow
@pytest.mark.parametrize("number", [1, 2])
def test_a_picture_that_changes_midway_stops_its_own_instrument(shop: Shop, number: int) -> None:
    keys = {key_for(job): job for job in shop.jobs(pdf=False)}
    shop.write(PINS, b"another")
    made, failed = make_all(keys, Cache(shop.root / "cache"), processes(number), lambda *_: None)
    assert list(made) == ["robin", "wren"]
    (told,) = failed
    assert str(told) == (
        "instruments/heron/visits/2026-03-14.md:6:8: error: The pages of heron could not be made. "
        "pins.jpg was changed meanwhile. Build again."
    )


def test_the_key_of_an_instrument_holds_no_more_of_its_media_than_their_sums(shop: Shop) -> None:
    heron = shop.jobs(pdf=False)[0]
    assert key_for(heron) == key_for(replace(heron, media=dict(heron.media)))
    shop.write(PINS, b"another")
    assert key_for(shop.jobs(pdf=False)[0]) != key_for(heron)


def test_a_picture_that_nobody_touched_is_not_read_to_tell_that_it_is_the_same(
    tmp_path: Path,
) -> None:
    (tmp_path / "notes" / "media").mkdir(parents=True)
    (tmp_path / "notes" / "media" / "pins.jpg").write_bytes(b"pins")
    time.sleep(0.05)  # until no two changes can bear the same time
    known = Untouched()
    for reads in (1, 0):
        found = open_folder(tmp_path / "notes", known)
        one = Media("media/", found)
        kind = type(found.paths["media/pins.jpg"])
        with patch.object(kind, "__call__", autospec=True, side_effect=kind.__call__) as read:
            one.note("pins.jpg")
        assert read.call_count == reads
        assert sums(one) == sums({"pins.jpg": b"pins"})
