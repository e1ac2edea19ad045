"""A build holds no picture and no recording: each is read when its pages are made."""

from __future__ import annotations

import pickle
from collections.abc import Iterator, Mapping
from dataclasses import replace
from pathlib import Path

import pytest

from dossier.publish.kept import load_kept
from dossier.read import open_folder, read_sources
from dossier.sites.cache import Cache, key_for
from dossier.sites.ground import ground_for
from dossier.sites.jobs import jobs, make_all
from dossier.sites.media import Media, MediaError, sums
from dossier.sites.workers import processes
from dossier.tasks import Job, PlainHand
from tests.build.small_shop import TODAY, Shop, small_shop

PINS = "instruments/heron/media/pins.jpg"


def media(files: dict[str, bytes]) -> Media:
    found = Media("media/", files)
    for name in ("pins.jpg", "after.mp3"):
        found.note(name)
    return found


FILES = {"media/pins.jpg": b"pins", "media/after.mp3": b"a chord", "media/other.jpg": b"other"}


def test_media_are_a_mapping_of_what_was_noted_read_anew_each_time() -> None:
    asked: list[str] = []

    class Telling(Mapping[str, bytes]):
        def __getitem__(self, path: str) -> bytes:
            asked.append(path)
            return FILES[path]

        def __iter__(self) -> Iterator[str]:
            return iter(FILES)

        def __len__(self) -> int:
            return len(FILES)

    found = Media("media/", Telling())
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


def wanted(shop: Shop) -> tuple[Job, ...]:
    sources = open_folder(shop.content)
    notebook, _ = read_sources(sources, TODAY)
    assert notebook is not None
    keeping, _ = load_kept(shop.state, lambda: "")
    ground, _ = ground_for(notebook, sources, shop.content, TODAY, PlainHand())
    assert ground is not None
    found, _ = jobs(ground, keeping, sources, {}, pdf=False)
    return found


@pytest.mark.slow
@pytest.mark.parametrize("number", [1, 2])
def test_a_picture_that_changes_midway_stops_its_own_instrument(shop: Shop, number: int) -> None:
    keys = {key_for(job): job for job in wanted(shop)}
    shop.write(PINS, b"another")
    made, failed = make_all(keys, Cache(shop.root / "cache"), processes(number), lambda *_: None)
    assert list(made) == ["robin", "wren"]
    (told,) = failed
    assert str(told) == (
        "instruments/heron/visits/2026-03-14.md:6:8: error: The pages of heron could not be made. "
        "pins.jpg was changed meanwhile. Build again."
    )


def test_the_key_of_an_instrument_holds_no_more_of_its_media_than_their_sums(shop: Shop) -> None:
    heron = wanted(shop)[0]
    assert key_for(heron) == key_for(replace(heron, media=dict(heron.media)))
    shop.write(PINS, b"another")
    assert key_for(wanted(shop)[0]) != key_for(heron)
