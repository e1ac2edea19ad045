"""What documents are set with is loaded without a process for each name of a library."""

import subprocess
import sys

import pytest

LOADED = """
import sys

started = []
sys.addaudithook(lambda event, _: started.append(event) if event == "subprocess.Popen" else None)
from dossier.render import libraries
{before}
libraries.load()
from weasyprint.text.ffi import harfbuzz_subset, pango
import ctypes.util
print(len(started), harfbuzz_subset is not None, pango.pango_version() > 0)
assert ctypes.util.find_library.__module__ == "ctypes.util"
libraries.load()
"""
UNKNOWN = """
def unknown():
    print("A word of the typesetter's own.")
    raise OSError("no such library")

libraries._without_search = unknown
"""


def loaded(before: str) -> list[str]:
    command = [sys.executable, "-c", LOADED.format(before=before)]
    ran = subprocess.run(command, capture_output=True, text=True, check=True)
    return ran.stdout.split()


@pytest.mark.skipif(sys.platform != "linux", reason="elsewhere libraries are searched for")
def test_no_process_is_started_to_find_a_library() -> None:
    assert loaded("") == ["0", "True", "True"]


def test_where_the_loader_knows_none_of_the_names_they_are_searched_for() -> None:
    started, *known = loaded(UNKNOWN)
    assert known == ["True", "True"]
    assert int(started) > 0 or sys.platform != "linux"
