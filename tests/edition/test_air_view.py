"""The room's air on the owner's page: the picture speaks of the days that it shows."""

from __future__ import annotations

from datetime import date

from dossier.edition.figures import RoomYear
from tests.analysis.one_piano import dry_log, history
from tests.edition.pages import page, plain_spaces

LONG = {
    "rooms/parlour/a.csv": dry_log(date(2024, 1, 1), 100, humidity=70),
    "rooms/parlour/b.csv": dry_log(date(2024, 4, 10), 400, humidity=40),
}


def test_the_picture_of_a_long_log_rests_on_the_days_that_it_shows() -> None:
    view = page(history({"2025-05-14": "work: tuning"}, files=LONG))
    (figure,) = view.air_figures
    assert isinstance(figure.drawn, RoomYear)
    assert len(figure.drawn.days) == 400
    assert figure.basis == "the parlour: 1600 readings, 10 April 2024 to 14 May 2025"
    assert plain_spaces(figure.sentence) == (
        "Relative humidity in the room, day by day from 10 April 2024 to 14 May 2025: the lowest "
        "and highest of each day, its mean, and the comfort band of 35 % to 55 %."
    )
    assert plain_spaces(figure.title) == "Inside the comfort band for 100 % of the time"
    assert "between 40 % and 40 %" in plain_spaces(figure.alt)
    assert [row[0] for row in figure.table.rows][::13] == ["April 2024", "May 2025"]


def test_the_facts_beside_it_rest_on_the_whole_log() -> None:
    view = page(history({"2025-05-14": "work: tuning"}, files=LONG))
    told = {fact.label: plain_spaces(fact.value) for fact in view.air_facts}
    assert told["Rests on"] == "2000 readings, 100 % of the span covered"
    assert told["Lowest and highest"] == "40 % to 70 %"
