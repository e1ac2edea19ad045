"""What gives a client away in prose that others may read."""

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
