"""The library that draws charts in a browser: one file for all sites of a build."""

from __future__ import annotations

from functools import lru_cache


@lru_cache(maxsize=1)
def engine() -> bytes:
    """One script, the same bytes each time; a second's work, so that a build keeps it."""
    import vl_convert

    # The stub says that a snippet must be given; without one the library itself is handed over.
    made: str = vl_convert.javascript_bundle()  # type: ignore[call-arg]
    return made.encode()


def engine_name() -> str:
    """The file's name, by the version of what puts it together, on which its bytes hang."""
    from importlib.metadata import version

    return f"charts-{version('vl-convert-python')}.js"
