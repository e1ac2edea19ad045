"""The program itself, as a part of every key: another version makes its own."""

from __future__ import annotations

import hashlib
from functools import cache
from pathlib import Path

ENGINES = ("weasyprint", "altair", "vl-convert-python", "pillow", "jinja2", "babel", "pydantic")


@cache
def program() -> str:
    """The program itself: the sum of its sources and the versions of what draws and sets."""
    from importlib.metadata import version

    total = hashlib.sha256()
    package = Path(__file__).resolve().parent.parent
    for path in sorted(package.rglob("*")):
        if path.suffix in (".py", ".mo", ".md"):
            total.update(path.relative_to(package).as_posix().encode() + b"\0")
            total.update(path.read_bytes())
    for engine in ENGINES:
        total.update(f"{engine} {version(engine)}\0".encode())
    return total.hexdigest()
