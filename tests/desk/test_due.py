"""Who is due, why and in what order; the table fits a terminal, the calendar follows RFC 5545."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import icalendar

from dossier.desk.due import DueList, by_place, due_calendar, due_data, due_list
from dossier.desk.due_table import WIDTH, due_table
from dossier.quantities import parse_period
from dossier.read import read_notebook
from tests.desk import shop

TODAY = date(2026, 6, 1)


def client(name: str, more: str = "") -> str:
    return (
        f"---\nname: {name}\nphone: +999 555 0199\naccess: key under the mat\n{more}---\nGrumpy.\n"
    )


def instrument(owner: str, title: str) -> str:
    return f"---\nclient: {owner}\ntitle: {title}\ninterval: 1 year\n---\n"


FILES: dict[str, str | None] = {
    **dict.fromkeys(shop.HERON),
    "rooms/parlour.md": None,
    "instruments/heron/media/pins.jpg": None,
    "clients/school.md": client("Pond Street School", "address: Pond Street, Northby\n"),
    "clients/marsh.md": client(
        "The Marshes", "address: 4 Sluice Lane, Aldry\nlast contacted: 2026-05-20\n"
    ),
    "clients/rest.md": client("At Rest", "status: dormant\n"),
    "clients/gone.md": client("Gone Away", "status: left\n"),
    # overdue by its interval
    "instruments/heron/instrument.md": instrument("marsh", "The heron"),
    "instruments/heron/visits/2025-03-01.md": "---\nwork: tuning\n---\nx\n",
    # due soon by the technician's own word
    "instruments/dove/instrument.md": instrument("school", "Room 7"),
    "instruments/dove/visits/2026-05-01.md": "---\nwork: tuning\nnext: ease D4, 2026-07\n---\nx\n",
    "instruments/wren/instrument.md": instrument("school", "Room 12"),
    "instruments/wren/visits/2026-05-01.md": "---\nwork: tuning\nnext: tuning, 2026-07\n---\nx\n",
    # unsafe
    "instruments/owl/instrument.md": instrument("school", "The hall grand"),
    "instruments/owl/visits/2026-05-01.md": "---\nunsafe: rear leg loose\n---\nx\n",
    # something open and no date
    "instruments/gull/instrument.md": "---\nclient: marsh\ntitle: The gull\n---\n",
    "instruments/gull/visits/2025-05-01.md": (
        "---\nproblem: lyre creaks\nadvice: a cover for the keys\n---\nx\n"
    ),
    # later, at rest, gone
    "instruments/teal/instrument.md": instrument("marsh", "The teal"),
    "instruments/teal/visits/2026-05-01.md": "---\nwork: tuning\n---\nx\n",
    "instruments/rail/instrument.md": instrument("rest", "The rail"),
    "instruments/rail/visits/2015-05-01.md": "---\nwork: tuning\n---\nx\n",
    "instruments/kite/instrument.md": instrument("gone", "The kite"),
    "instruments/kite/visits/2015-05-01.md": "---\nwork: tuning\n---\nx\n",
}
TABLE = """\
by          need     instrument      client              place
now         unsafe   The hall grand  Pond Street School  Northby
            unsafe: rear leg loose
            +999 555 0199; Pond Street, Northby; last contact 2026-05-01
2026-03-31  overdue  The heron       The Marshes         Aldry
            the regular tuning
            +999 555 0199; 4 Sluice Lane, Aldry; last contact 2026-05-20
2026-07-31  soon     Room 12         Pond Street School  Northby
            tuning
            +999 555 0199; Pond Street, Northby; last contact 2026-05-01
2026-07-31  soon     Room 7          Pond Street School  Northby
            ease D4
            +999 555 0199; Pond Street, Northby; last contact 2026-05-01
–           open     The gull        The Marshes         Aldry
            open problem: lyre creaks; advice to decide: a cover for the keys
            +999 555 0199; 4 Sluice Lane, Aldry; last contact 2026-05-20

1 instrument is due later: ask with --within for a longer time.
Left out: 1 dormant and 1 departed clients.
"""


def due(tmp_path: Path, within: str = "6 weeks") -> DueList:
    read = shop.notebook(shop.write(tmp_path, FILES), TODAY)
    return due_list(read, TODAY, parse_period(within))


def test_the_most_pressing_stands_first_and_who_is_at_rest_is_counted(tmp_path: Path) -> None:
    found = due(tmp_path)
    assert "".join(f"{line}\n" for line in due_table(found, found.visits)) == TABLE


def test_a_longer_look_finds_more_and_a_shorter_one_less(tmp_path: Path) -> None:
    assert [one.instrument for one in due(tmp_path / "a", "1 year").visits] == [
        "owl", "heron", "wren", "dove", "teal", "gull",
    ]  # fmt: skip
    assert [one.instrument for one in due(tmp_path / "b", "1 week").visits] == [
        "owl", "heron", "gull",
    ]  # fmt: skip


def test_by_place_a_journey_stays_together(tmp_path: Path) -> None:
    ordered = sorted(due(tmp_path).visits, key=by_place)
    assert [(one.place, one.instrument) for one in ordered] == [
        ("Aldry", "heron"), ("Aldry", "gull"),
        ("Northby", "owl"), ("Northby", "wren"), ("Northby", "dove"),
    ]  # fmt: skip


def test_every_line_fits_a_hundred_columns(tmp_path: Path) -> None:
    long = "é" * 60
    longer = {
        **FILES,
        "clients/marsh.md": client(long, f"address: 1 Lane, {long}\n"),
        "instruments/heron/instrument.md": instrument("marsh", "東京のピアノ" * 9),
        "instruments/heron/visits/2025-03-01.md": f"---\nproblem: {'buzz ' * 60}\n---\nx\n",
    }
    read = shop.notebook(shop.write(tmp_path, longer), TODAY)
    found = due_list(read, TODAY, parse_period("6 weeks"))
    lines = due_table(found, found.visits)
    assert max(len(line) for line in lines) <= WIDTH
    assert any(line.count("…") == 3 for line in lines)


def test_nothing_due_is_said(tmp_path: Path) -> None:
    read = shop.notebook(shop.write(tmp_path, dict.fromkeys(shop.FILES) | {
        "shop.md": shop.FILES["shop.md"]}), TODAY)  # fmt: skip
    assert due_table(due_list(read, TODAY, parse_period("1 year")), ()) == ("Nothing is due.",)


def test_the_data_has_the_dates_and_no_way_in(tmp_path: Path) -> None:
    data = due_data(due(tmp_path))
    assert data["left_out"] == {"dormant": 1, "left": 1}
    assert data["later"] == 1
    rows = data["due"]
    assert isinstance(rows, list)
    assert rows[1] == {
        "need": "overdue",
        "earliest": "2026-03-01",
        "latest": "2026-03-31",
        "instrument": "heron",
        "title": "The heron",
        "client": "marsh",
        "name": "The Marshes",
        "contact": "",
        "phone": "+999 555 0199",
        "address": "4 Sluice Lane, Aldry",
        "room": "",
        "last_visit": "2025-03-01",
        "last_contact": "2026-05-20",
        "why": ["the regular tuning"],
    }


def calendar(found: DueList, today: date = TODAY) -> list[dict[str, str]]:
    text = due_calendar(found, today).decode().replace("\r\n ", "")
    assert text.startswith("BEGIN:VCALENDAR\r\nVERSION:2.0\r\nPRODID:")
    assert text.endswith("END:VEVENT\r\nEND:VCALENDAR\r\n")
    return [
        dict(line.split(":", 1) for line in event.split("\r\n") if ":" in line)
        for event in text.split("BEGIN:VEVENT\r\n")[1:]
    ]


def test_the_calendar_has_one_event_for_each_client_and_day(tmp_path: Path) -> None:
    events = calendar(due(tmp_path))
    assert [(one["DTSTART;VALUE=DATE"], one["SUMMARY"]) for one in events] == [
        ("20260601", "Pond Street School: The hall grand"),
        ("20260601", "The Marshes: The heron"),
        ("20260701", "Pond Street School: 2 instruments"),
    ]
    assert events[2]["DESCRIPTION"] == "Room 12: tuning\\nRoom 7: ease D4\\n+999 555 0199"
    assert events[2]["DTEND;VALUE=DATE"] == "20260702"
    assert events[2]["LOCATION"] == "Pond Street\\, Northby"
    assert events[2]["DTSTAMP"] == "20260601T000000Z"


def test_a_later_calendar_moves_its_events_and_says_nothing_private(tmp_path: Path) -> None:
    found = due(tmp_path)
    first, later = calendar(found), calendar(found, date(2026, 6, 8))
    assert [one["UID"] for one in first] == [one["UID"] for one in later]
    assert int(first[0]["SEQUENCE"]) < int(later[0]["SEQUENCE"])
    text = due_calendar(found, TODAY).decode()
    assert "mat" not in text.replace("DATE", "").casefold()
    assert "grumpy" not in text.casefold()


def test_another_reader_takes_the_calendar_for_a_valid_one(tmp_path: Path) -> None:
    read = icalendar.Calendar.from_ical(due_calendar(due(tmp_path), TODAY))
    assert isinstance(read, icalendar.Calendar)
    assert read.errors == []
    events = read.events
    assert [(one.DTSTART, str(one["SUMMARY"])) for one in events] == [
        (date(2026, 6, 1), "Pond Street School: The hall grand"),
        (date(2026, 6, 1), "The Marshes: The heron"),
        (date(2026, 7, 1), "Pond Street School: 2 instruments"),
    ]
    assert [one.errors for one in events] == [[], [], []]


def test_the_forecast_and_what_a_season_would_still_show_stand_with_the_reasons(
    repo: Path,
) -> None:
    today = date(2026, 11, 25)
    read, _ = read_notebook(repo / "content", today)
    assert read is not None
    found = due_list(read, today, parse_period("6 months"))
    why = {one.instrument: one.why for one in found.visits}
    assert why["petrel"] == ("tuning", "pitch likely beyond 12 cents from 2027-02-10")
    assert why["eider"][-1] == (
        "not yet seen at its driest: a visit from 2027-01-19 to 2027-03-24 would"
    )
    assert "selkie" in why
    assert not any("beyond" in text for text in why["heron"])
