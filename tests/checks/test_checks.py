"""The tuple of checks as a whole."""

from dossier.checks import CHECKS, across, of_one, run_checks
from dossier.diagnostics import in_order
from tests.checks.conftest import TODAY, Told, examined, noted

# A shop in which everything is unlikely: each check finds something of its own.
HEAD = "---\nclient: marsh\ntitle: The heron\n"
UNLIKELY = {
    "shop.md": "---\nname: Lanterncroft\ntechnician: Quilla Lanterncroft\n---\n",
    "clients/thistlewood.md": "---\nname: Bram Thistlewood\n---\n",
    "rooms/parlour/a.csv": "time,temperature °C,humidity %\n2020-01-01 10:00,20,40\n",
    "instruments/heron/instrument.md": f"{HEAD}made: 1912\nstands: parlour, since 1990\n"
    "leave below pitch: rusty wire\n"
    "humidity equipment: fitted 2019-01-01, next service 2020-01\n---\n",
    "instruments/heron/media/pins.jpg": "x",
    "instruments/heron/visits/1890-01-01.md": "---\nfound: 3 flat\n---\n",
    "instruments/heron/visits/2026-01-01.md": """
        ---
        hold: yes
        technician: Bo Reedmace
        pitch: A4 = 300 Hz
        found: A3 +2, A4 +400, A4.2 +7
        air: 20 °C, 140 %
        problem: D#1 buzzes
        key dip: 102 mm
        pin torque: 0 N·m
        next: tuning, 2020-01
        advice: move it, before 2020-01
        photos:
          - pins.jpg
          - pins.jpg
        condition:
          keys: poor
        ---
        Ask Tamsin Fennimarsh or Thistlewood, 7 Otterbank Lane, +999 555 0142, a@b.example. 🎹
        """,
    "instruments/heron/visits/2026-02-01.md": """
        ---
        work:
          - other: spliced the D#1 string
            warranty: 20 years
            component: strings
            irreversible: it stays
        ---
        """,
    "instruments/heron/visits/2026-03-01.md": """
        ---
        condition:
          keys: good
        fixed: D#1 buzzes
        ---
        """,
    "instruments/heron/visits/2026-04-01.md": """
        ---
        found: 70 flat
        left: on pitch
        work: tuning
        next: look at the raise, spring
        ---
        """,
    "instruments/eider/instrument.md": f"{HEAD}provenance: 2020 sold, to thistlewood\n---\n",
    "instruments/tern/instrument.md": f"{HEAD}interval: 1 year\n---\n",
    "instruments/tern/visits/2024-02-01.md": """
        ---
        found: A2 -130, A3 -120, A4 -200
        left: A4 -20
        work: tuning
        next: tuning, 2024-06
        ---
        """,
    **{
        f"instruments/tern/visits/2023-0{month}-01.md": "---\nwork: voicing, 80 USD\n---\n"
        for month in range(1, 7)
    },
    "instruments/tern/visits/2023-08-01.md": "---\nwork: voicing, 8000 USD\n---\n",
}


def test_a_sane_shop_is_told_nothing(told: Told) -> None:
    assert told() == []


def test_every_check_has_its_own_name_and_a_reason() -> None:
    assert len({check.id for check in CHECKS}) == len(CHECKS) > 30
    assert all(check.why and check.function.__doc__ for check in CHECKS)


def test_every_check_finds_something_and_by_its_own_name() -> None:
    assert {found.code for found in examined(UNLIKELY)} == {check.id for check in CHECKS}


def test_the_same_shop_is_told_the_same_twice() -> None:
    assert examined(UNLIKELY) == examined(dict(reversed(UNLIKELY.items())))


def test_instrument_by_instrument_the_same_is_found() -> None:
    notebook = noted(UNLIKELY)
    apart = [one for name in notebook.instruments for one in of_one(notebook, name, TODAY)]
    assert in_order((*across(notebook, TODAY), *apart)) == run_checks(notebook, TODAY)
