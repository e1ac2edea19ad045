"""What gives a client away in prose that others may read."""

import pytest

from tests.checks.conftest import HERON, SANE, Told

NOTE = f"{HERON}2026-03-14.md"
FILE = "instruments/heron/instrument.md"
NAMED = 'Write "you" or "the owner", or move it to a "::: bench" block.'
MOVED = 'Take it out, or move it to a "::: bench" block.'


def note(*lines: str, prose: str = "") -> dict[str, str]:
    return {"2026-03-14": "\n".join(("---", *lines, "---", prose, ""))}


def named(place: str, name: str) -> str:
    return f'{NOTE}:{place}: warning: "{name}" is the client\'s own name. {NAMED}'


def test_a_name_in_the_prose(told: Told) -> None:
    prose = "All is well.\n\nI said so to Tamsin, and\nTamsin Fennimarsh agreed."
    assert told(note("found: 3 flat", prose=prose)) == [
        named("6:14", "Tamsin"),
        named("7:1", "Tamsin Fennimarsh"),
    ]
    assert told(note("found: 3 flat", prose="All is well, and I told you so.")) == []


def test_a_name_in_the_short_forms(told: Told) -> None:
    assert told(note("summary: Fennimarsh's piano is well")) == [named("2:10", "Fennimarsh")]
    assert told(note("reason: for Tamsin")) == [named("2:13", "Tamsin")]
    assert told(note("problem: it rattles, says Tamsin")) == [named("2:27", "Tamsin")]
    assert told(note("advice: Tamsin should move it, before October")) == [named("2:9", "Tamsin")]
    assert told(note("next: ring Tamsin, 4-8 weeks")) == [named("2:12", "Tamsin")]
    assert told(note("work: repaired the lyre of Tamsin")) == [named("2:28", "Tamsin")]


def test_a_name_behind_other_words_is_found_at_its_place(told: Told) -> None:
    assert told(note("sticking keys: D4 Tamsin noticed")) == [named("2:19", "Tamsin")]
    assert told(note("condition:", "  keys: fair, says Tamsin")) == [named("3:20", "Tamsin")]
    assert told(note("work:", "  - tuning, 45 min, 80 USD", "  - repair: as Tamsin asked")) == [
        named("4:16", "Tamsin")
    ]
    assert told(note("work:", "  - repaired the lyre, with Tamsin, 45 min")) == [
        named("3:29", "Tamsin")
    ]
    assert told(note("problem: it rattles,", "  says Tamsin")) == [named("2:10", "Tamsin")]
    assert told(note("corrected: 2026-03-20 it was Tamsin")) == [named("2:30", "Tamsin")]
    assert told(note("humidity equipment: found dry, says Tamsin")) == [named("2:37", "Tamsin")]
    held = "provenance:\n        - 2015 bought, holder: Tamsin Fennimarsh\n        stands:"
    assert told({FILE: SANE[FILE].replace("stands:", held)}) == [
        f'{FILE}:7:24: warning: "Tamsin Fennimarsh" is the client\'s own name. {NAMED}'
    ]


def test_a_name_in_a_caption(told: Told) -> None:
    media = {"instruments/heron/media/pins.jpg": "x"}
    assert told({**media, **note("photos: pins.jpg Tamsin at the keys")}) == [
        named("2:18", "Tamsin")
    ]
    mapped = note("photos:", "  - file: pins.jpg", "    caption: as Tamsin saw it")
    assert told({**media, **mapped}) == [named("4:17", "Tamsin")]
    assert told({**media, **note("photos: pins.jpg the splice")}) == []


def test_the_bench_may_name_everyone(told: Told) -> None:
    bench = "All well.\n\n::: bench\nTamsin of 7 Otterbank Lane, 555 0142, tamsin@x.example\n:::"
    assert told(note("private: Tamsin owes for two visits", prose=bench)) == []


def test_a_word_in_small_letters_is_no_name(told: Told) -> None:
    green = {"clients/marsh.md": "---\nname: Rose Greenfelt\n---\n"}
    assert (
        told({**green, **note("found: 3 flat", prose="The pitch rose; greenfelt is worn.")}) == []
    )
    assert told({**green, **note("found: 3 flat", prose="As rose greenfelt wished.")}) == [
        named("4:4", "rose greenfelt")
    ]


def test_everyday_words_of_a_schools_name_are_no_name(told: Told) -> None:
    school = {
        "clients/marsh.md": "---\nname: Quill Village School\nkind: school\n"
        "contact: Bram Thistlewood, caretaker\n---\n"
    }
    prose = "The School in Quill is damp, as the Village knows."
    assert told({**school, **note("found: 3 flat", prose=prose)}) == []
    prose = "Quill Village School is damp, and Mr Thistlewood knows."
    assert told({**school, **note("found: 3 flat", prose=prose)}) == [
        named("4:1", "Quill Village School"),
        named("4:38", "Thistlewood"),
    ]


def test_no_client_reads_of_another(told: Told) -> None:
    other = {
        "clients/thistlewood.md": "---\nname: Bram Thistlewood\n---\n",
        "instruments/eider/instrument.md": "---\nclient: thistlewood\ntitle: The eider\n---\n",
        "instruments/eider/visits/2026-03-01.md": "---\nfound: 3 flat\n---\n",
    }
    prose = "Sticky, as at Thistlewood's. Bram says so too; bram thistlewood, that is."
    assert told({**other, **note("found: 3 flat", prose=prose)}) == [
        f'{NOTE}:4:15: warning: "Thistlewood" is the name of another client. {MOVED}',
        f'{NOTE}:4:48: warning: "bram thistlewood" is the name of another client. {MOVED}',
    ]
    assert told({**other, **note("found: 3 flat", prose="Sticky, as in August.")}) == []


def test_a_street_in_the_prose(told: Told) -> None:
    prose = "Moved from the garage to 7 Otterbank Lane.\nDamp in Lower Quill."
    assert told(note("found: 3 flat", prose=prose)) == [
        f'{NOTE}:4:28: warning: "Otterbank Lane" is where the client lives. {MOVED}'
    ]
    assert told(note("found: 3 flat", prose="Moved from the garage to the lane side.")) == []


def test_a_telephone_number_however_it_is_written(told: Told) -> None:
    for written in ("+999 555 0142", "0999 555-0142", "(999) 555 01 42"):
        assert told(note("found: 3 flat", prose=f"Ring {written} first.")) == [
            (
                f'{NOTE}:4:{6 + written.startswith("(")}: warning: "{written.lstrip("(")}" is the '
                f"client's telephone number. {MOVED}"
            )
        ]
    assert told(note("found: 3 flat", prose="Serial number 999 555 0143, made 1962-1963.")) == []


def test_an_address_to_write_to(told: Told) -> None:
    assert told(note("summary: write to tamsin@fennimarsh.example.")) == [
        f'{NOTE}:2:19: warning: "tamsin@fennimarsh.example" is an e-mail address. {MOVED}'
    ]
    assert told(note("summary: write to bench@lanterncroft.example")) == []


def client(name: str, phone: str = "+999 555 0142") -> dict[str, str]:
    return {"clients/marsh.md": f"---\nname: {name}\nphone: {phone}\n---\n"}


@pytest.mark.parametrize(
    ("name", "written"),
    [
        ("Jule Quüllmoor", "Quüllmoor"),
        ("Jule Quüllmoor", "Quullmoor"),
        ("Jule Quüllmoor", "Quuellmoor"),
        ("Jule Quuellmoor", "Quüllmoor"),
        ("Jule Quuellmoor", "Quullmoor"),
        ("Jule Quullmoor", "Quüllmoor"),
        ("Jule Thørnsåy", "Thornsay"),
        ("Jule Thørnsåy", "Thoernsaay"),
        ("Jule Marßwold", "MARSSWOLD"),
        ("Jule Fénimarche", "FENIMARCHE"),
        ("Jule O'Fennimarsh", "O’Fennimarsh"),
        ("Jule O’Fennimarsh", "Oʼfennimarsh"),
        ("Jule O’Fennimarsh", "O`FENNIMARSH"),
    ],
)
def test_a_name_however_it_is_spelt(told: Told, name: str, written: str) -> None:
    prose = f"As {written}’s own cat knows."
    found = told({**client(name), **note("found: 3 flat", prose=prose)})
    assert found == [named("4:4", written)]


def test_a_name_that_only_begins_alike_is_another(told: Told) -> None:
    prose = "The Quellmoor is wet, and the Quullmoors and Quallmoor are not."
    assert told({**client("Jule Quüllmoor"), **note("found: 3 flat", prose=prose)}) == []


@pytest.mark.parametrize(
    "prose", ["tamsin\nfennimarsh", "> tamsin\n> fennimarsh", "*tamsin*\u00a0fennimarsh"]
)
def test_a_whole_name_broken_or_set_off(told: Told, prose: str) -> None:
    whole = prose.removeprefix("> ").removeprefix("*")
    at = 1 + prose.index(whole)
    assert told(note("found: 3 flat", prose=prose)) == [named(f"4:{at}", whole)]


@pytest.mark.parametrize(
    ("own", "written"),
    [
        ("+999 20 5550 0142", "020 55500142"),
        ("020 5550 0142", "+999 20 55 50 01 42"),
        ("020 5550 0142", "+999 (0)20 5550-0142"),
        ("+999 20 5550 0142", "+999 (0)20 5550 0142"),
        ("+999 20 5550 0142", "00999 20 5550 0142"),
        ("(020) 5550·0142", "020.5550.0142"),
        ("020 5550 0142", "020‑5550‑0142"),
        ("020 5550 0142", "020 5550\n0142"),
        ("020 5550 0142", "020 5550 0142 2026"),
        ("030 5550 0177, 020 5550 0142", "20 5550 0142"),
        ("030 5550 0177 or 020 5550 0142 (mornings)", "020 5550 0142"),
    ],
)
def test_a_telephone_number_in_other_groups_and_from_abroad(
    told: Told, own: str, written: str
) -> None:
    prose = f"Ring {written} first."
    assert told({**client("Tamsin Fennimarsh", own), **note("found: 3 flat", prose=prose)}) == [
        f'{NOTE}:4:6: warning: "{written}" is the client\'s telephone number. {MOVED}'
    ]


def test_another_telephone_number_may_stand(told: Told) -> None:
    own = client("Tamsin Fennimarsh", "030 5550 0177, 020 5550 0142")
    prose = "The hall is 020 5550 0143, its porter 030 5550 0142."
    assert told({**own, **note("found: 3 flat", prose=prose)}) == []


@pytest.mark.parametrize(
    ("line", "column"),
    [
        ("stands: parlour, since 2015, Tamsin's stove near", 9),
        ("stands: parlour, since 2015, the wall Tamsin painted", 39),
        ("controlled materials: ivory that Tamsin found, keytops", 23),
        ("controlled materials: ivory, keytops that Tamsin plays", 23),
        ("controlled materials: ivory, keytops, said by Tamsin", 47),
        ("humidity equipment: fitted 2021-10-04 for Tamsin", 43),
        ('targets: {key dip: "9.5-10.5 mm, as Tamsin asked"}', 21),
        ("maker: Tamsin's uncle", 8),
        ("model: the Tamsin", 12),
        ("type: the piano of Tamsin", 20),
        ("materials: walnut that Tamsin chose", 24),
        ("measurements: as wide as Tamsin is tall", 26),
        ("subject: Tamsin at the keys", 10),
        ("serial number: Tamsin 7", 16),
        ("inventory number: Tamsin 7", 19),
    ],
)
def test_a_name_in_any_words_about_the_instrument(told: Told, line: str, column: int) -> None:
    key = line.partition(":")[0]
    others = [one for one in SANE[FILE].split("\n") if not one.strip().startswith(key)]
    file = "\n".join(others).replace("title:", f"{line}\n        title:")
    assert told({FILE: file}) == [
        f'{FILE}:3:{column}: warning: "Tamsin" is the client\'s own name. {NAMED}'
    ]


def test_a_name_of_who_did_the_work(told: Told) -> None:
    work = note("work:", "  - cleaning: the keys", "    by: Tamsin herself")
    assert told(work) == [named("4:9", "Tamsin")]
