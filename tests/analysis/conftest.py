"""Readings of the lunchtime club of the invented Larkmere Vale School, for every test here."""

from collections.abc import Callable, Mapping, Sequence
from pathlib import Path

import pandas as pd
import pytest

from analysis.readings.readings import Readings
from analysis.report.summary import Summary, Weighed, summarise

CLUB = {
    20: (24, 23, 25, 22, 24),
    30: (31, 29, 31, 30, None),
    40: (36, 37, 20, 37, 36),  # the third lies far out
    50: (42, 43, 41, 42, 44),
    60: (48, 49, 47, 48, 50),
}
CURVED = {0: (3, 4, 3), 20: (8, 9, 8), 40: (17, 18, 17), 60: (30, 31, 29), 80: (46, 47, 46)}

Heights = Mapping[float, Sequence[float | None]]
Maker = Callable[..., Summary]


def _readings(heights_cm: Heights, source: str = "club.csv", places: int = 0) -> Readings:
    rows = [
        (temperature + 273.15, repeat, height / 100)
        for temperature, heights in heights_cm.items()
        for repeat, height in enumerate(heights, start=1)
        if height is not None
    ]
    frame = pd.DataFrame(rows, columns=["temperature_k", "repeat", "rebound_height_m"])
    return Readings(frame=frame, source=source, decimal_places=places)


@pytest.fixture(scope="session")
def readings_of() -> Callable[..., Readings]:
    """Make readings of heights in cm by temperature in °C."""
    return _readings


@pytest.fixture(scope="session")
def summary_of() -> Maker:
    """Make a summary of heights in cm by temperature in °C."""

    def make(
        heights_cm: Heights,
        source: str = "club.csv",
        places: int = 0,
        weighed: Weighed | None = None,
    ) -> Summary:
        return summarise(_readings(heights_cm, source, places), weighed)

    return make


@pytest.fixture(scope="session")
def club(summary_of: Maker) -> Summary:
    return summary_of(CLUB)


@pytest.fixture(scope="session")
def curved(summary_of: Maker) -> Summary:
    return summary_of(CURVED)


@pytest.fixture
def club_file(tmp_path: Path) -> Path:
    """Write the club's readings as a file, and give its path."""
    heading = "temperature / °C," + ",".join(f"rebound height {n} / cm" for n in range(1, 6))
    lines = [
        ",".join([str(t), *("" if h is None else str(h) for h in heights)])
        for t, heights in CLUB.items()
    ]
    path = tmp_path / "club.csv"
    path.write_text("\n".join([heading, *lines]) + "\n", encoding="utf-8")
    return path
