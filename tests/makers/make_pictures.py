"""Makes the README's picture of the demo: an owner's page on a telephone and on a desktop.

Run after `make build`, as `python -m tests.makers.make_pictures`.
"""

import io
from pathlib import Path

from PIL import Image
from playwright.sync_api import Browser, sync_playwright

REPO = Path(__file__).resolve().parents[2]
PICTURE = REPO / ".pictures" / "owner-page.png"
INSTRUMENT = "heron"
GROUND = "#d9d4c7"
EDGE = 24
FLAGS = ["--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run"]
FLAGS += ["--disable-background-networking", "--disable-component-update", "--disable-sync"]


def shot(browser: Browser, page: Path, size: tuple[int, int], anchor: str = "") -> Image.Image:
    """The first screen of a page at an anchor."""
    tab = browser.new_page(viewport={"width": size[0], "height": size[1]})
    tab.goto(f"file://{page}{anchor}")
    taken = Image.open(io.BytesIO(tab.screenshot()))
    tab.close()
    return taken


def main() -> None:
    """Put the two beside each other on a plain ground."""
    (page,) = (REPO / "build" / "public").glob(f"*/{INSTRUMENT}/index.html")
    with sync_playwright() as player:
        browser = player.chromium.launch(executable_path="/usr/bin/chromium", args=FLAGS)
        phone = shot(browser, page, (390, 800))
        desk = shot(browser, page, (1100, 800), "#pitch")
        browser.close()
    sheet = Image.new("RGB", (phone.width + desk.width + 3 * EDGE, 800 + 2 * EDGE), GROUND)
    sheet.paste(phone, (EDGE, EDGE))
    sheet.paste(desk, (phone.width + 2 * EDGE, EDGE))
    PICTURE.parent.mkdir(exist_ok=True)
    sheet.quantize(128).save(PICTURE, optimize=True)


if __name__ == "__main__":
    main()
