"""The owner's message of a visit: what it says, to whom, and what it never says."""

from datetime import date
from email import message_from_bytes
from email.policy import default
from pathlib import Path

import pytest
from click.testing import CliRunner

from dossier.cli import main
from dossier.desk.files import DeskError
from dossier.desk.letter import Message, as_mail, as_text, message
from dossier.publish.state import Link, State
from tests.desk.shop import FILES, notebook, write

TODAY = date(2026, 6, 1)
VISIT = "instruments/heron/visits/2026-05-02.md"
CLIENT = """---
name: Nell and Arvid Marsh
email: marsh@owners.example
phone: "+999 555 0190 CANARYPHONE"
access: CANARYACCESS under the mat
private: CANARYCLIENT
---
CANARYBODY
"""
NOTE = """---
reason: yearly service
found: 8 sharp
left: on pitch
problem: lyre creaks when the left pedal is used
work:
  - tuning
  - eased keys F3-B3, 45 min, 40 USD
advice: move it off the outer wall, before October
next: check the splice, 4-8 weeks
private: CANARYKEY
---
Some keys had **stuck**; they are [free](https://keys.example/a_b) again.

::: bench
CANARYBENCH
:::
"""
LETTER = """Dear Nell and Arvid Marsh,

This is about the heron upright, visited on May 2, 2026.

Some keys had stuck; they are free (https://keys.example/a_b) again.

What was found
- On May 2, 2026 it was found 8 cents sharp and left on pitch.
- New: Lyre creaks when the left pedal is used.

What was done
- Tuning.
- Easing: Eased keys F3-B3.

What to see to
- Move it off the outer wall. By September 30, 2026. Advised on May 2,
  2026; please say yes or no.

What comes next
- Check the splice. Between May 30 and June 27, 2026.

The whole history, with figures and pictures, is at this private
address:
https://pianos.example/{token}/

Whoever has it can read the page, so please keep it to yourself.

With kind regards,

Ada Thorne
Millrace Pianos
"""
TOKEN = "0123456789abcdef" * 2
STATE = State(links=(Link(token=TOKEN, kind="client", target="marsh", made=TODAY),))
ALONE: dict[str, str | None] = {
    "instruments/heron/visits/2024-03-02.md": None,
    "instruments/heron/visits/2025-03-01.md": None,
    "shop.md": FILES["shop.md"].replace(
        "name:", "public address: https://pianos.example\nname:", 1
    ),
    "clients/marsh.md": CLIENT,
    "instruments/heron/instrument.md": "---\nclient: marsh\ntitle: The heron upright\n---\n",
}


def told(root: Path, changes: dict[str, str | None], day: date | None = None) -> Message:
    content = write(root, {**ALONE, **changes})
    for name, text in {**ALONE, **changes}.items():
        if text is None:
            (content / name).unlink(missing_ok=True)
    return message(notebook(content), "heron", day, STATE, TODAY)


def test_a_visit_is_told_as_a_person_would_and_nothing_private_leaves(tmp_path: Path) -> None:
    text = as_text(told(tmp_path, {VISIT: NOTE}))
    assert text == LETTER.format(token=TOKEN)
    assert "CANARY" not in text


def test_the_mail_waits_to_be_sent_and_reads_back_as_the_same_text(tmp_path: Path) -> None:
    one = told(tmp_path, {VISIT: NOTE})
    raw = as_mail(one)
    assert as_mail(one) == raw
    assert b"CANARY" not in raw
    assert max(map(len, raw.split(b"\r\n"))) <= 78
    mail = message_from_bytes(raw, policy=default)
    assert mail["To"] == "Nell and Arvid Marsh <marsh@owners.example>"
    assert mail["Subject"] == "The heron upright: visit of May 2, 2026"
    assert mail["X-Unsent"] == "1"
    assert mail["Date"].datetime.date() == date(2026, 5, 2)
    body = mail.get_body()
    assert body is not None
    assert body.get_content().replace("\r\n", "\n") == as_text(one)


def test_a_visit_without_readings_or_work_is_told_without_them(tmp_path: Path) -> None:
    one = told(tmp_path, {VISIT: "All well.\n", "clients/marsh.md": "---\nname: M\n---\n"})
    lines = as_text(one).split("\n")
    assert lines[:5] == [
        "Dear M,", "", "This is about the heron upright, visited on May 2, 2026.", "", "All well.",
    ]  # fmt: skip
    assert "What was found" not in lines
    assert "What was done" not in lines


def test_an_earlier_visit_is_told_as_it_then_was(tmp_path: Path) -> None:
    later = "---\nfixed: lyre creaks\n---\nQuiet.\n"
    both: dict[str, str | None] = {VISIT: NOTE, "instruments/heron/visits/2026-05-20.md": later}
    text = as_text(told(tmp_path, both, date(2026, 5, 2)))
    assert text == LETTER.format(token=TOKEN)


@pytest.mark.parametrize(
    ("changes", "day", "said"),
    [
        (
            {VISIT: NOTE},
            date(2026, 5, 3),
            "No visit to heron is of 2026-05-03. The nearest is of 2026-05-02.",
        ),
        ({}, None, "No visit to heron has been written down yet."),
        (
            {VISIT: "---\nhold: yes\n---\nWait.\n"},
            None,
            "marsh is on hold: take hold: yes out of the note first.",
        ),
        (
            {VISIT: NOTE, "clients/marsh.md": "---\nname: M\nemail: not one\n---\n"},
            None,
            "clients/marsh.md: “not one” is no e-mail address.",
        ),
    ],
)  # fmt: skip
def test_what_is_in_its_way_is_said(
    tmp_path: Path, changes: dict[str, str | None], day: date | None, said: str
) -> None:
    with pytest.raises(DeskError) as error:
        as_mail(told(tmp_path, changes, day))
    assert str(error.value) == said


def test_the_command_prints_it_writes_it_and_overwrites_nothing(tmp_path: Path) -> None:
    content = write(tmp_path)
    shop = ["--content", str(content), "--letter"]
    printed = CliRunner().invoke(main, ["visit", "marsh", *shop])
    assert printed.exit_code == 0, printed.output
    assert "visited on March 1, 2025." in printed.stdout
    mail = tmp_path / "heron.eml"
    command = ["visit", "heron", *shop, "--out", str(mail)]
    assert CliRunner().invoke(main, command).exit_code == 0
    run = CliRunner().invoke(main, command)
    assert run.exit_code == 2
    assert run.stderr == f"dossier: {mail} is there already, and nothing is overwritten.\n"
    assert mail.read_bytes().startswith(b"Subject: The heron upright: visit of March 1, 2025\r\n")
