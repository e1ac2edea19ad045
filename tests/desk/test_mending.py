"""What can only be meant in one way is put right, and nothing else of a file is touched."""

from __future__ import annotations

import codecs
import json
import stat
import unicodedata
from collections.abc import Mapping
from pathlib import Path

import pytest
from click.testing import CliRunner, Result
from hypothesis import given, settings
from hypothesis import strategies as st

from dossier.cli import main
from dossier.desk.mending import Mending, mending
from dossier.desk.session import all_findings
from dossier.diagnostics import Severity
from dossier.read import Sources
from tests.read.test_mistakes import MISTAKES
from tests.read.tiny_shop import SHOP, TODAY, VISIT

SLIPS: Mapping[str, str] = {
    "raeson: yearly": "reason: yearly",
    "found: A1 +6, H3 +9, A4# -1": "found: A1 +6, B3 +9, A#4 -1",
    "left: A1 +1 A3 +2": "left: A1 +1, A3 +2",
    "stickingkeys: F3-B3": "sticking keys: F3-B3",
    "key dip: A1 10 mm A4 9.8 mm": "key dip: A1 10 mm, A4 9.8 mm",
    "fee: 40 UDS": "fee: 40 USD",
    "condition:\n  hamers: fair": "condition:\n  hammers: fair",
    "floated: true": "floated: yes",
    "problem:\n  - he said: rattles": 'problem:\n  - "he said: rattles"',
    "work:\n  - tuning, 45 minuts": "work:\n  - tuning, 45 minutes",
    "next: check it, in Ocotber\nsummary: Für Elise.": "",
    "corrected: 20.3.2026 A4 was misread": "corrected: 2026-03-20 A4 was misread",
    "technician (x): Ada": "technician: Ada",
}
"""Lines with a slip, and what they become; nothing where it stays, for it is none to the reader."""
SOUND = (
    "air: 17.5 °C, 71 %",
    "advice: den Flügel von der Außenwand wegrücken",
    "time: 90 min",
    "pitch: 441 Hz  # as the choir wants it",
)
WAYS: tuple[tuple[bytes, str, str], ...] = (
    (b"", "utf-8", "\n"),
    (b"", "utf-8", "\r\n"),
    (b"", "utf-8", "\r"),
    (codecs.BOM_UTF8, "utf-8", "\r\n"),
    (codecs.BOM_UTF16_LE, "utf-16-le", "\r\n"),
    (codecs.BOM_UTF16_BE, "utf-16-be", "\n"),
    (b"", "cp1252", "\r\n"),
)


def sources(files: Mapping[str, str | bytes | None]) -> Sources:
    both = {**SHOP, **files}
    return Sources.of(
        {
            name: text.encode() if isinstance(text, str) else text
            for name, text in both.items()
            if text is not None
        }
    )


def tried(note: str | bytes) -> Mending:
    return mending(sources({VISIT: note}), TODAY)


def errors(trial: Mending) -> list[str]:
    return [str(one) for one in trial.found if one.severity is Severity.ERROR]


@settings(max_examples=60, deadline=None)
@given(
    lines=st.lists(st.sampled_from((*SLIPS, *SOUND)), unique=True, min_size=1),
    way=st.sampled_from(WAYS),
    form=st.sampled_from(("NFC", "NFD")),
    closed=st.booleans(),
)
def test_just_the_slips_are_put_right_and_no_other_byte_changes(
    lines: list[str], way: tuple[bytes, str, str], form: str, closed: bool
) -> None:
    mark, encoding, end = way
    form = "NFC" if encoding == "cp1252" else form

    def written(lines: list[str]) -> bytes:
        text = "\n".join(
            ["---", *lines, "---", "Getuned für’s Konzert.", ""][: None if closed else -1]
        )
        letters = unicodedata.normalize(form, text)  # type: ignore[arg-type]
        return mark + letters.replace("\n", end).encode(encoding)

    before = written(lines)
    trial = tried(before)
    after = trial.after.get(VISIT, before)
    assert after == written([SLIPS.get(line) or line for line in lines])
    slips = [line for line in lines if SLIPS.get(line)]
    found = all_findings(sources({VISIT: before}), TODAY)
    gone = {one for one in found if one.severity is Severity.ERROR}
    assert len(gone) >= len(slips)
    assert errors(trial) == []
    assert gone <= set(trial.done)
    again = mending(sources({VISIT: after}), TODAY)
    assert (again.after, again.done) == ({}, [])


def test_every_known_mistake_is_put_right_for_good_or_not_at_all() -> None:
    mended = 0
    for mistake in MISTAKES:
        trial = mending(sources(mistake.files), TODAY)
        told = {(one.code, one.span.file, one.span.line) for one in trial.found}
        for one in trial.done:
            assert (one.code, one.span.file, one.span.line) not in told, mistake.title
        again = mending(sources({**mistake.files, **trial.after}), TODAY)
        assert (again.after, again.done) == ({}, []), mistake.title
        mended += bool(trial.done)
    assert mended >= 30


@pytest.mark.parametrize(
    "note",
    [
        "---\nfuond: A1 +6\nfound: A3 +9\n---\n",  # the right key is there already
        "---\nfound: A1 +6, H3 +9, B3 +8\n---\n",  # so is the note
        "---\nfound: H9 +9\n---\n",  # outside the compass
        "---\nreelase: sale\n---\n",  # it would let someone read more
        "Fine.\n\n::: ownr\nx\n:::\n",
        "---\nfee: 40 CAF\n---\n",  # CAD and CHF
        "---\nai: 71 %\n---\n",  # too short a word
    ],
)
def test_what_would_not_help_or_may_mean_two_things_stays(note: str) -> None:
    trial = tried(note)
    assert (trial.after, trial.done) == ({}, [])
    assert errors(trial) != []


def test_no_name_of_a_client_an_instrument_or_a_picture_is_guessed() -> None:
    trial = mending(
        sources(
            {
                "instruments/wren/instrument.md": "---\nclient: scholl\ntitle: Room 12\n---\n",
                "rounds/2026-03-02.md": "| instrument | found |\n|---|---|\n| wrenn | 8 |\n",
                VISIT: "---\nphotos: pin.jpg the pins\n---\n",
            }
        ),
        TODAY,
    )
    assert len(errors(trial)) == 3
    assert trial.after == {}


def test_what_hid_behind_a_mistake_is_put_right_as_well() -> None:
    trial = tried("---\nreason:yearly\nfuond: A1 +6\nproblem: he said: rattles\n---\n")
    assert (
        trial.after[VISIT]
        == b'---\nreason: yearly\nfound: A1 +6\nproblem: "he said: rattles"\n---\n'
    )
    assert sorted(one.code for one in trial.done) == [
        "unknown-key",
        "yaml-colon-space",
        "yaml-second-colon",
    ]


# The command ---------------------------------------------------------------------------------


def shop(folder: Path, note: bytes) -> tuple[Path, Path]:
    content = folder / "content"
    for name, text in {**SHOP, VISIT: ""}.items():
        path = content / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(text, encoding="utf-8", newline="")
    (content / VISIT).write_bytes(note)
    return content, content / VISIT


def run(content: Path, *options: str) -> Result:
    wanted = ["check", "--content", str(content), "--today", TODAY.isoformat(), *options]
    return CliRunner().invoke(main, wanted)


NOTE = b"---\r\nraeson: yearly\r\nfee: 40 UDS\r\nleft: A1 nonsense\r\n---\r\n"
DIFF = f"""--- {VISIT}
+++ {VISIT}
@@ -1,4 +1,4 @@
 ---
-raeson: yearly
-fee: 40 UDS
+reason: yearly
+fee: 40 USD
 left: A1 nonsense
"""


def test_in_a_pipe_the_changes_are_shown_and_not_written(tmp_path: Path) -> None:
    content, path = shop(tmp_path, NOTE)
    result = run(content, "--fix")
    assert result.exit_code == 1
    assert result.stdout.startswith(DIFF)
    assert result.stderr.startswith(
        "Nothing was written: dossier check --fix --yes writes 2 changes.\n"
    )
    assert path.read_bytes() == NOTE


def test_what_is_agreed_to_is_written_named_and_the_rest_told(tmp_path: Path) -> None:
    content, path = shop(tmp_path, NOTE)
    path.chmod(0o640)
    result = run(content, "--fix", "--yes")
    assert result.exit_code == 1
    assert result.stdout == (
        DIFF
        + f"{VISIT}:2:1: raeson is now reason\n{VISIT}:3:9: UDS is now USD\n"
        + "Read 2 instruments of 2 clients, 2 visits: 1 error, 2 warnings.\n"
    )
    assert f'{VISIT}:4:7: error: "A1 nonsense" is not a pitch reading.' in result.stderr
    assert path.read_bytes() == NOTE.replace(b"raeson", b"reason").replace(b"UDS", b"USD")
    assert stat.S_IMODE(path.stat().st_mode) == 0o640
    assert sorted(one.name for one in path.parent.iterdir()) == ["2025-03-01.md", path.name]
    second = run(content, "--fix", "--yes")
    assert second.stdout.startswith("There is nothing that can only be meant in one way.\n")
    assert path.read_bytes() == NOTE.replace(b"raeson", b"reason").replace(b"UDS", b"USD")


def test_a_link_to_a_note_still_leads_to_it(tmp_path: Path) -> None:
    content, path = shop(tmp_path, b"")
    kept = content / "rooms" / "kept.txt"
    kept.write_bytes(NOTE)
    path.unlink()
    path.symlink_to(kept)
    run(content, "--fix", "--yes")
    assert path.is_symlink()
    assert b"reason" in kept.read_bytes()


def test_a_note_that_changed_meanwhile_stays(tmp_path: Path) -> None:
    content, path = shop(tmp_path, NOTE)
    trial = mending(sources({VISIT: NOTE}), TODAY)
    path.write_bytes(NOTE + b"One more sentence.\n")
    assert trial.write(content) == (VISIT,)
    assert path.read_bytes() == NOTE + b"One more sentence.\n"


def test_for_machines_a_finding_has_its_fix(tmp_path: Path) -> None:
    content, path = shop(tmp_path, NOTE)
    found = json.loads(run(content, "--json").stdout)["findings"]
    assert {one["code"]: one["fix"] for one in found if one["severity"] == "error"} == {
        "unknown-key": {
            "line": 2, "column": 1, "width": 6, "replaces": "raeson", "with": "reason",
        },
        "money": {"line": 3, "column": 9, "width": 3, "replaces": "UDS", "with": "USD"},
        "reading": None,
    }  # fmt: skip
    written = json.loads(run(content, "--json", "--fix", "--yes").stdout)
    assert [one["fix"]["with"] for one in written["fixed"]] == ["reason", "USD"]
    assert [one["code"] for one in written["findings"] if one["severity"] == "error"] == ["reading"]
    assert b"USD" in path.read_bytes()


def test_what_can_be_put_right_is_offered_and_yes_alone_is_wrong_use(tmp_path: Path) -> None:
    content, _ = shop(tmp_path, NOTE)
    assert run(content).stdout.endswith("dossier check --fix offers to put right 2 of them.\n")
    alone = run(content, "--yes")
    assert (alone.exit_code, alone.stderr) == (2, "dossier: --yes goes with --fix.\n")
