"""Sheets as teachers make them: read to the last bit, or refused with what to do; never read wrong.

The default run makes each layout with each decoration once, units and formats taking turns; the
slow one makes them all in every format, five times.
"""

import itertools

import pytest

from analysis.readings.readings import grid, read_readings
from analysis.refusal import Refused
from tests.analysis.sheet_maker import DECORATIONS, READ, REFUSED, club, with_settings, write

ENDINGS = (".csv", ".xlsx", ".ods")
KINDS = list(itertools.product([*READ, *REFUSED], DECORATIONS))
SHEETS = [
    pytest.param(*kind, number, ENDINGS[(number + number // 8) % 3], id=f"{number}")
    for number, kind in enumerate(KINDS)
]


def check(folder, layout, decoration, number, ending):
    """The sheet is read exactly, or refused in one sentence with the file, the place, the mend."""
    of = club(number)
    sheet = layout(of)
    decoration(sheet, of, number)
    path = folder / f"club{ending}"
    write(sheet, path)
    if layout in REFUSED:
        with pytest.raises(Refused, match=REFUSED[layout]) as refused:
            read_readings(path)
        assert path.name in str(refused.value)
        assert ("keep one" in refused.value.mend) or ("heading" in str(refused.value))
        return
    readings = read_readings(path)
    frame = readings.frame
    names = ("temperature_k", "repeat", "rebound_height_m")
    found = [(round(k, 9), go, m) for k, go, m in zip(*(frame[n] for n in names), strict=True)]
    assert sorted(found) == sorted(of.truth())
    assert grid(readings).drop_height_m == (1.5 if decoration is with_settings else 1.0)


@pytest.mark.parametrize(("layout", "decoration", "number", "ending"), SHEETS)
def test_a_sheet_is_read_exactly_or_refused_with_what_to_do(
    tmp_path, layout, decoration, number, ending
):
    check(tmp_path, layout, decoration, number, ending)


@pytest.mark.slow
@pytest.mark.parametrize("ending", ENDINGS)
def test_every_sheet_in_every_format(tmp_path, ending):
    for number in range(5 * len(KINDS)):
        check(tmp_path, *KINDS[number % len(KINDS)], number, ending)
