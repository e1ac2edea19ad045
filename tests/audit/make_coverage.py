"""Writes coverage.md: how often the drift's 80 % intervals hold the truth.

Run with `python -m tests.audit.make_coverage` after a change to the drift model; two minutes.
"""

from __future__ import annotations

from datetime import UTC, datetime
from pathlib import Path

from tests.audit.simulated_drift import FAULTS, SEED, VISITS, coverage, table

PLACE = Path(__file__).parent / "coverage.md"
COUNT = 1000


def main() -> None:
    lines = [coverage(faults, visits, COUNT) for faults in FAULTS for visits in VISITS]
    text = (
        "# How often the 80 % intervals of the drift hold the truth\n\n"
        f"{COUNT} invented instruments a line, seed {SEED}, computed {datetime.now(UTC).date()}.\n"
        "A quarter of them with a log, half with the air read at visits, a quarter with neither;\n"
        "half-yearly or yearly visits, one in seven of which tuned nothing. Swing: cents between\n"
        "the seasons; forecast: the compass at a day 60 to 420 days after the last visit; widths:\n"
        "medians in cents. One line's own error by chance is 0.013.\n\n"
    )
    PLACE.write_text(text + table(lines), encoding="utf-8")
    print(table(lines))


if __name__ == "__main__":
    main()
