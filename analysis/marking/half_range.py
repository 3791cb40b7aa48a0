"""The half-range uncertainty at the temperature that the book picks.

Rules: half of the range of the readings that stand, rounded half up to the places it is written
to; where all the repeats agree, 0 or half a unit of the readings' last place. Its unit is that
of a length. It has at most one decimal place more than the readings. The readings are those of
the rough page; those of the own table, if miscopied, are carried, and so is a range that keeps a
struck-out reading which the own mean keeps too.
"""

from __future__ import annotations

import math

from analysis.marking.judging import Asked, Expected, given, judge
from analysis.marking.own_means import copies, mean_checks
from analysis.marking.own_table import ReadingSet, Row, own_table, reading_sets
from analysis.marking.questions import EVALUATION
from analysis.marking.remark import Criterion, Remark
from analysis.marking.study import Study
from analysis.marking.work import Work
from analysis.quantity.text import fixed, plain, rounded
from analysis.quantity.written import Given

HALF_RANGE = Asked(
    (EVALUATION, "half-range"),
    "length",
    "cm",
    Criterion(EVALUATION, "evaluation.half-range", "The half-range is that of the readings named."),
    Criterion(EVALUATION, "evaluation.half-range-unit", "The half-range has its unit."),
)
ROUNDING = Criterion(
    EVALUATION,
    "evaluation.rounding",
    "The uncertainty claims at most one decimal place more than the readings.",
)


def mark_half_range(work: Work) -> tuple[Remark, ...]:
    """Mark the half-range and its rounding."""
    return (*judge(work, HALF_RANGE, _expected(work)), _rounding(work))


def picked_set(work: Work) -> ReadingSet | None:
    """The readings at the temperature that the book picks; None while there are none."""
    temperature = Study(work).named_c
    return next((one for one in reading_sets(work) if one.temperature_c == temperature), None)


def picked_row(work: Work) -> Row | None:
    """The own table's row for that temperature; None where it has none."""
    source = picked_set(work)
    if source is None:
        return None
    found = copies(own_table(work), reading_sets(work)).sets
    rows = [row for one in found if one.source == source for row in one.rows]
    return rows[0] if rows else None


def readings_places(work: Work) -> int:
    """Decimal places, in cm, that the readings were written to."""
    if work.rough is not None:
        return max((one.decimal_places for one in work.rough), default=0)
    return own_table(work).places


def _expected(work: Work) -> Expected | None:
    source = picked_set(work)
    if source is None:
        return None
    places = readings_places(work)
    standing = source.standing_cm
    half = (max(standing) - min(standing)) / 2
    width = f"({plain(max(standing))} − {plain(min(standing))}) cm"
    return Expected(
        right=_halves(standing, places),
        own=_own(work, places),
        worked=f"Largest less smallest reading at {plain(source.temperature_c, 1)} °C, halved: "
        f"{width} ÷ 2 = {fixed(half, places + 1)} cm.",
        slips={
            "This is the whole range: the uncertainty goes either way from the mean.": (2 * half,)
        }
        if half
        else {},
        near=_near,
        nudge="This is not half of the range of the readings that stand at the temperature named.",
    )


def _near(answer: Given, half_cm: float) -> bool:
    """Half up as school rounds, so that 1.5 is 2 and never 1."""
    unit = answer.value_step / answer.step
    return abs(rounded(half_cm / unit, answer.places) - answer.number) <= answer.step * 1e-6


def _halves(heights_cm: tuple[float, ...], places: int) -> tuple[float, ...]:
    half = (max(heights_cm) - min(heights_cm)) / 2
    return (half,) if half > 0 else (0.0, 10.0**-places / 2)


def _own(work: Work, places: int) -> tuple[float, ...]:
    row = picked_row(work)
    if row is None or not row.heights_cm:
        return ()
    copied = copies(own_table(work), reading_sets(work)) if work.rough is not None else None
    check = next((o for o in mean_checks(own_table(work), copied) if o.row == row), None)
    kept = check.values_cm if check and check.values_cm else row.heights_cm
    sets = [kept]
    if check and check.follows == "struck kept":
        sets.append(row.heights_cm)
        source = picked_set(work)
        sets.append((*kept, *(source.struck_out_cm if source else ())))
    if check and check.follows == "one left out" and not math.isnan(check.left_out_cm):
        rest = list(kept)
        rest.remove(check.left_out_cm)
        sets.append(tuple(rest))
    return tuple(half for one in sets for half in _halves(one, places))


def _rounding(work: Work) -> Remark:
    answer = given(work, HALF_RANGE)
    if answer is None:
        return ROUNDING.missing("There is no number to judge yet.")
    places = max(readings_places(work), own_table(work).places)
    finest = 10.0 ** -(places + 1)
    if answer.value_step >= finest * (1 - 1e-6):
        return ROUNDING.right(answer.text)
    return ROUNDING.wrong(
        "'half-range'",
        "The uncertainty claims more decimal places than half a difference of such readings has.",
        f"Readings to {places} decimal places in cm give a half-range to {places + 1} at most.",
        answer.text,
    )
