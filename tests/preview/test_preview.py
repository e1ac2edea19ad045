"""A note is saved and its page is fresh; a mistake stands on the page until it is mended."""

import re
import signal
import statistics
import subprocess
import sys
import time
from collections.abc import Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Page, expect

from tests.desk.shop import write

pytestmark = [pytest.mark.slow, pytest.mark.browser]
NOTE = "instruments/heron/visits/2025-03-01.md"


@pytest.fixture
def shop(tmp_path: Path) -> Path:
    return write(tmp_path)


@pytest.fixture
def running(shop: Path) -> Iterator[tuple[str, "subprocess.Popen[str]"]]:
    command = [sys.executable, "-m", "dossier", "preview", "--today", "2026-06-01"]
    process = subprocess.Popen(
        command, cwd=shop.parent, stdout=subprocess.PIPE, stderr=subprocess.STDOUT, text=True
    )
    assert process.stdout is not None
    address = ""
    for line in process.stdout:
        if match := re.match(r"Preview: (http://127\.0\.0\.1:\d+/)  Ctrl-C ends it\.", line):
            address = match[1]
            break
    assert address
    yield address, process
    if process.poll() is None:
        process.kill()
    process.stdout.close()
    process.wait()


def save(path: Path, text: str) -> None:
    """As editors save: a new file in the place of the old."""
    aside = path.with_name(f".{path.name}.swp")
    aside.write_text(text, "utf-8")
    aside.replace(path)


def test_a_save_is_seen_a_mistake_is_told_on_the_page_and_mended_it_is_gone(
    running: tuple[str, "subprocess.Popen[str]"], shop: Path, page: Page
) -> None:
    address, process = running
    note, built = shop / NOTE, shop.parent / "build"
    good = note.read_text("utf-8")
    violations: list[str] = []
    page.on("console", lambda said: violations.append(said.text))
    page.goto(address)
    page.get_by_text("Owners’ pages").click()
    page.locator("#preview").get_by_role("link", name="The Marshes").click()
    expect(page.get_by_text("On the bench")).to_be_visible()

    took = []
    for number in range(5):
        begun = time.monotonic()
        save(note, f"{good}\nThe pins hold, look {number}.\n")
        page.get_by_text(f"The pins hold, look {number}.").first.wait_for()
        took.append(time.monotonic() - begun)
    assert statistics.median(took) < 5, took  # on a machine with others at work

    save(note, good.replace("A3 +9", "H3 +9"))
    wrong = page.locator("#preview .error")
    expect(wrong).to_have_count(1)
    assert wrong.inner_text().split("\n") == [
        f'{NOTE}:4:15 error: "H3" is not a note name. Did you mean B3?',
        "found: A1 +6, H3 +9, A4 442.1 Hz",
        "              ^^",
    ]
    expect(page.get_by_text("The pins hold, look 4.").first).to_be_attached()

    save(note, f"{good}\nMended.\n")
    page.get_by_text("Mended.").first.wait_for()
    expect(wrong).to_have_count(0)
    assert violations == []
    assert not built.exists()
    assert not (shop.parent / ".dossier" / "links.json").exists()

    process.send_signal(signal.SIGINT)
    assert process.wait(10) == 0
    assert process.stdout is not None
    assert process.stdout.read().endswith("The preview has ended.\n")


def test_a_second_preview_of_the_same_notes_and_a_taken_port_are_refused(
    running: tuple[str, "subprocess.Popen[str]"], shop: Path
) -> None:
    port = running[0].rpartition(":")[2].strip("/")
    command = [sys.executable, "-m", "dossier", "preview", "--port", port]
    second = subprocess.run(command, cwd=shop.parent, capture_output=True, text=True, check=False)
    assert second.returncode == 2
    assert re.fullmatch(
        r"dossier: Another preview is open in \S+ \(process \d+\)\. "
        r"End it first, or look at that one\.\n",
        second.stderr,
    )
    other = subprocess.run(
        [*command, "--state", "other"], cwd=shop.parent, capture_output=True, text=True, check=False
    )
    assert (other.returncode, other.stderr) == (
        2,
        f"dossier: Port {port} is taken or not yours to open. Leave --port out for a free one.\n",
    )


def test_a_broken_table_of_colours_is_told_on_the_pages_that_stand(
    running: tuple[str, "subprocess.Popen[str]"], shop: Path, page: Page
) -> None:
    address, _ = running
    page.goto(f"{address}bench/heron/")
    (shop / "theme").mkdir()
    save(shop / "theme" / "colours.toml", "[light]\npaper = '#ffffff'\n")
    expect(page.get_by_text("[dark] is missing")).to_be_visible(timeout=20_000)
