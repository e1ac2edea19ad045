"""A school's many in one table, begun with what is open on each."""

from pathlib import Path

import pytest

from dossier.desk.files import DeskError, write_new
from dossier.desk.round import round_note, round_of, round_path
from dossier.read import read_notebook
from tests.desk import shop

FILES = {
    "instruments/dove/instrument.md": "---\nclient: school\ntitle: The hall grand\n---\n",
    "instruments/dove/visits/2026-01-10.md": (
        "---\nproblem: lyre creaks\nsticking keys: D4\nnext: tuning, 6 months\n---\nx\n"
    ),
}
NOTE = """---
client: school
# Pond Street School
# Take the # off a line to use it; it then holds for every row.
# Take the row out of what nobody looked at. A column more may be any key of a visit,
# or bench for what only you read; a remark is read by the owner.
# dove (The hall grand), last 2026-01-10: tuning; lyre creaks; sticking keys D4
# wren (Room 12), not visited yet
#reason:
#left: on pitch
#work: tuning
---
| instrument | found                    | work                     | remark                   |
| ---------- | ------------------------ | ------------------------ | ------------------------ |
| dove       |                          |                          |                          |
| wren       |                          |                          |                          |
""".replace("#reason:\n", "#reason: \n")


def errors(content: Path) -> list[str]:
    _, found = read_notebook(content, shop.TODAY)
    return [str(one) for one in found if one.severity.name != "INFO"]


def begun(content: Path) -> str:
    return round_note(round_of(shop.notebook(content), "school", shop.TODAY))


def test_a_new_round_has_a_row_for_each_instrument_of_the_client(tmp_path: Path) -> None:
    assert begun(shop.write(tmp_path, FILES)) == NOTE


def test_untouched_no_row_counts_as_a_visit(tmp_path: Path) -> None:
    content = shop.write(tmp_path, FILES)
    write_new(round_path(content, shop.TODAY), NOTE)
    hint = "Write what was found or done, or take the row out where nobody looked at it."
    assert errors(content) == [
        f'rounds/2026-06-01.md:15:3: error: The row of "dove" says nothing. {hint}',
        f'rounds/2026-06-01.md:16:3: error: The row of "wren" says nothing. {hint}',
    ]


def test_filled_in_it_is_a_visit_to_each(tmp_path: Path) -> None:
    content = shop.write(tmp_path, FILES)
    text = NOTE.replace("#work: tuning", "work: tuning").replace("#left", "left")
    text = text.replace("| dove       |         ", "| dove       | 8 sharp ")
    write_new(round_path(content, shop.TODAY), text)
    assert errors(content) == []
    visits = shop.notebook(content).visits
    assert [visits[name][-1].work[0].kind for name in ("dove", "wren")] == ["tuning", "tuning"]
    assert round_path(content, shop.TODAY).name == "2026-06-01-2.md"


def test_a_client_without_a_contact_has_no_stray_comma(tmp_path: Path) -> None:
    client = "---\nname: The School\nkind: school\nphone: +999 555 0188\n---\n"
    content = shop.write(tmp_path, {"clients/school.md": client})
    note = round_note(round_of(shop.notebook(content), "school", shop.TODAY))
    assert note.split("\n")[2] == "# The School: +999 555 0188"


def test_a_client_that_is_not_there_is_refused_with_the_nearest(tmp_path: Path) -> None:
    with pytest.raises(DeskError) as refused:
        round_of(shop.notebook(shop.write(tmp_path)), "shcool", shop.TODAY)
    assert str(refused.value) == "There is no client shcool that can be read. Did you mean school?"
