"""Recordings and films on the pages: heard by whom they are for, and nothing else of the file."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from dossier.sites.issue import IssueRequest, issue
from tests.build.small_shop import NOTES, TODAY, VISIT, Shop
from tests.publish.shop import files
from tests.recordings import samples
from tests.recordings.samples import SHOWN, SOUND

MEDIA = "instruments/heron/media/"
LINES = "instruments/heron/instrument.md"


@pytest.fixture
def heard(shop: Shop) -> Shop:
    shop.write(f"{MEDIA}Eel Lane 7.mp3", samples.mp3())
    shop.write(f"{MEDIA}action.mp4", samples.mp4(SHOWN, SOUND))
    audio = "audio:\n  - file: Eel Lane 7.mp3\n    caption: the buzz on G4\n    release: sale\n"
    shop.says(VISIT, "work: tuning", f"work: tuning\n{audio}video: action.mp4")
    return shop


def copies(found: dict[str, bytes]) -> list[str]:
    return sorted(Path(path).suffix for path in found if path.endswith((".mp3", ".mp4")))


def test_they_are_played_and_can_be_had_under_the_name_of_their_content(heard: Shop) -> None:
    heard.good()
    for found in (heard.site("marsh"), heard.bench()):
        assert copies(found) == [".mp3", ".mp4"]
        assert not [path for path, data in found.items() if samples.PLACE in data or "Eel" in path]
        page = found["heron/index.html"].decode()
        (path,) = (path for path in found if path.endswith(".mp3"))
        assert (
            f'<audio controls preload="none" aria-label="The buzz on G4" src="../{path}"></audio>'
        ) in page
        assert f'<a href="../{path}" download>Download the recording</a>' in page
        film = '<video controls preload="none" aria-label="Film of [^"]+2026" src='
        assert re.search(film, page)
        assert "media-src &#39;self&#39;" in page
        assert "Eel Lane 7" not in page


def test_in_another_s_hands_nothing_is_heard_of_the_time_before(heard: Shop) -> None:
    sold = NOTES[LINES].replace("marsh", "school", 1)
    heard.write(LINES, sold.replace("title:", "provenance: 2026-04-20 sold, to school\ntitle:"))
    heard.good()
    assert copies(heard.public()) == []
    assert copies(heard.bench()) == [".mp3", ".mp4"]
    assert b"buzz on G4" not in b"".join(heard.public().values())


@pytest.mark.slow
@pytest.mark.parametrize(("edition", "shown"), [("sale", [".mp3"]), ("appraisal", [])])
def test_a_stranger_hears_what_was_released_one_by_one(
    heard: Shop, edition: str, shown: list[str]
) -> None:
    request = IssueRequest(heard.content, heard.out, heard.state, TODAY, "heron", edition)
    folder = issue(request).folder
    assert folder is not None
    found = files(folder)
    assert copies(found) == shown
    assert ("The buzz on G4" in found["index.html"].decode()) is bool(shown)
    assert not [path for path, data in found.items() if samples.PLACE in data]
