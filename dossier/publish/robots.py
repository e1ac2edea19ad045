"""robots.txt: closes a site to search engines, and tells our trees from other people's folders."""

from __future__ import annotations

from pathlib import Path

NAME = "robots.txt"
_MARK = "# Private pages, written by dossier. Nothing here is for search engines."

# RFC 9309: one group for all, everything disallowed. It names no path, since anyone may read it.
ROBOTS = f"{_MARK}\nUser-agent: *\nDisallow: /\n".encode()


def is_ours(tree: Path) -> bool:
    """Whether a build wrote the folder.  Raises OSError where that can't be read."""
    try:
        with (tree / NAME).open("rb") as stream:
            return stream.read(len(_MARK)) == _MARK.encode()
    except (FileNotFoundError, NotADirectoryError, IsADirectoryError):
        return False
