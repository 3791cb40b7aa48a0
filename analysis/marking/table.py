"""The results table: headings, cells, copying, means.

Rules. A heading names its quantity in words and carries its unit, as "quantity / unit" or with
the unit in brackets; a column that only numbers the repeat ("repeat 2 / cm") takes its quantity
from a neighbour that names it. Cells hold numbers alone. Readings of one quantity are all written
to the same number of decimal places. Every reading that stands on the rough page is in the table
unchanged; struck-out ones may be there or not. Means: see `own_table`.
"""

from __future__ import annotations

import math
from collections.abc import Iterator

from analysis.marking.own_table import Copies, Entry, MeanCheck, OwnColumn, OwnTable
from analysis.marking.questions import TABLE
from analysis.marking.study import Study
from analysis.marking.work import Criterion, Remark, listed
from analysis.quantity.units import counted, fixed, plain

QUANTITY = Criterion(
    TABLE, "table.heading-quantity", "Each heading names its quantity in words, not in short."
)
UNIT = Criterion(TABLE, "table.heading-unit", "Each heading carries the unit of its quantity.")
CELLS = Criterion(TABLE, "table.cell-unit", "The cells hold numbers alone, without units.")
PLACES = Criterion(
    TABLE,
    "table.decimal-places",
    "Readings of one quantity all have the same number of decimal places.",
)
READINGS = Criterion(
    TABLE, "table.readings", "Every reading stands in the table as on the rough page."
)
ROWS = Criterion(TABLE, "table.rows", "Every temperature of the rough page has its row.")
MEANS = Criterion(TABLE, "table.mean", "Each mean follows from the readings in its row.")
MEAN_PLACES = Criterion(
    TABLE, "table.mean-places", "The means have the decimal places of the readings, or one more."
)
ALL = (QUANTITY, UNIT, CELLS, PLACES, READINGS, ROWS, MEANS, MEAN_PLACES)
_FROM_ROUGH = (READINGS, ROWS)
_HEADINGS = (
    "Headings such as 'temperature / °C', 'rebound height 1 / cm' and "
    "'mean rebound height / cm': the quantity in words, a stroke, its unit."
)


def mark_table(study: Study) -> Iterator[Remark]:
    """Mark the results table, one criterion after another; without a rough page none of copying."""
    table = study.table
    if not table.rows:
        said = "There is nothing in the results table yet."
        asked = [one for one in ALL if study.has_rough or one not in _FROM_ROUGH]
        yield from (one.missing(said) for one in asked)
        return
    yield _quantity(table)
    yield _unit(table)
    yield _cells(table)
    yield _places(table)
    if study.has_rough:
        yield _readings(study.copies)
        yield _rows(study.copies)
    yield _means(study)
    yield _mean_places(study)


def place(entry: Entry) -> str:
    """Where a cell stands, counting as a reader does: below the headings, from the left."""
    return f"row {entry.cell[0]}, column {entry.cell[1] + 1}"


def _columns_of(columns: list[OwnColumn]) -> str:
    return listed([f"column {one.index + 1}" for one in columns])


def _quantity(table: OwnTable) -> Remark:
    told = table.having("temperature", "height", "mean")
    named = any(
        one.heading.text and not one.heading.names_a_go and one.heading.role == "height"
        for one in told
    )
    nameless = [one for one in told if not one.heading.name]
    goes = [one for one in told if one.heading.names_a_go and not named]
    short = [one for one in told if one.heading.short]
    unknown = [one for one in told if one.heading.by_place and one.heading.name]
    if unknown and not (nameless or goes or short):
        words = listed([f"'{one.heading.text}'" for one in unknown])
        return QUANTITY.teacher(f"Whether {words} names the quantity cannot be told here.", words)
    if not (nameless or goes or short):
        return QUANTITY.right(*(one.heading.text for one in told if one.heading.text))
    where = _columns_of(sorted({*nameless, *goes, *short}, key=lambda one: one.index))
    if short:
        words = listed([f"'{one}'" for one in {w: 0 for c in short for w in c.heading.short}])
        nudge = f"{words} in the heading of {where} is short for something: write it out in words."
    else:
        nudge = f"The heading of {where} does not say what was measured."
    return QUANTITY.wrong(where, nudge, _HEADINGS, *(one.heading.text for one in short))


def _unit(table: OwnTable) -> Remark:
    told = table.having("temperature", "height", "mean")
    without = [one for one in told if one.heading.text and one.heading.unit is None]
    # One heading over all the repeats gives its unit to the columns numbered below it.
    shared = any(one.heading.unit for one in told if one.heading.role == "height")
    without = [
        one
        for one in without
        if not (one.heading.names_a_go and not one.heading.unit_text and shared and _digits(one))
    ]
    if not without:
        return UNIT.right(*(one.heading.text for one in told if one.heading.unit))
    where = _columns_of(without)
    foreign = [one.heading.unit_text for one in without if one.heading.unit_text]
    nudge = f"The heading of {where} has a quantity but not its unit."
    if foreign:
        nudge = f"'{foreign[0]}' in {where} is no unit of the quantity in that heading."
    return UNIT.wrong(where, nudge, _HEADINGS, *(one.heading.text for one in without))


def _digits(column: OwnColumn) -> bool:
    return column.heading.text.isdigit()


def _cells(table: OwnTable) -> Remark:
    with_unit = [one for one in table.entries if one.has_unit]
    unread = [one for one in table.entries if math.isnan(one.value)]
    if not with_unit and not unread:
        return CELLS.right()
    found = with_unit or unread
    where = listed([place(one) for one in found])
    nudge = f"There is a unit in {where}: a unit has one place in a table, and it is not the cell."
    worked = (
        f"The unit belongs in the heading; the cell keeps its number alone ({place(found[0])})."
    )
    if not with_unit:
        nudge = f"What stands in {where} is not a number."
        worked = (
            f"Write a number in {place(found[0])}, or leave the cell blank if nothing was read."
        )
    return CELLS.wrong(where, nudge, worked, *(one.text for one in found))


def _places(table: OwnTable) -> Remark:
    temperatures = [row.temperature for row in table.rows if row.temperature]
    heights = [one for row in table.rows for one in row.readings]
    odd = [one for group in (temperatures, heights) for one in _minority(group)]
    if not odd:
        return PLACES.right()
    where = listed([place(one) for one in odd])
    nudge = f"Not all readings are written to the same number of decimal places: look at {where}."
    worked = _places_working(temperatures if odd[0] in temperatures else heights, odd[0])
    return PLACES.wrong(where, nudge, worked, *(one.text for one in odd))


def _minority(entries: list[Entry]) -> list[Entry]:
    """The entries that are not written to the places that most are (the more places of equals)."""
    read = [one for one in entries if not math.isnan(one.value)]
    written = [one.places for one in read]
    usual = max(set(written), key=lambda n: (written.count(n), n), default=0)
    return [one for one in read if one.places != usual]


def _places_working(group: list[Entry], odd: Entry) -> str:
    usual = next(one for one in group if one.places != odd.places and not math.isnan(one.value))
    count = {0: "no decimal place", 1: "1 decimal place"}
    places = count.get(usual.places, f"{usual.places} decimal places")
    return (
        f"The others, such as {usual.text}, have {places}; {odd.text} does not. All are read on "
        "one scale, so all are written to the place that the scale was read to."
    )


def _readings(copied: Copies) -> Remark:
    differing, faults, steps = [], [], []
    for one in copied.sets:
        at = f"{plain(one.source.temperature_c)} °C"
        for row in one.wrong_temperatures:
            faults.append(f"the temperature in row {row.number}")
            steps.append(f"Row {row.number}: the rough page says {at}.")
        for entry in one.foreign:
            differing.append(entry.text)
            faults.append(place(entry))
        if one.rows and (one.foreign or one.lacking_cm):
            number = one.rows[0].number
            if len(one.lacking_cm) > len(one.foreign):
                faults.append(f"row {number}, where a reading is missing")
            read = ", ".join(plain(height) for height in one.source.standing_cm)
            steps.append(f"Row {number} ({at}): the rough page says {read} cm.")
    if not faults:
        return READINGS.right()
    where = listed(faults)
    nudge = f"The table differs from the rough page at {where}: compare them line by line."
    return READINGS.wrong(where, nudge, " ".join(steps), *differing)


def _rows(copied: Copies) -> Remark:
    absent = [one.source for one in copied.sets if not one.rows]
    strangers = [f"row {row.number}" for row in copied.strangers]
    if not absent and not strangers:
        return ROWS.right()
    temperatures = listed([f"{plain(one.temperature_c)} °C" for one in absent])
    if absent:
        count = counted(len(absent), "temperature")
        nudge = f"The rough page has {count} more than the table has rows."
        return ROWS.wrong("the whole table", nudge, f"There is no row for {temperatures}.")
    where = listed(strangers)
    nudge = f"The temperature and readings of {where} are not on the rough page."
    worked = f"Take {where} out, or write on the rough page what was read."
    return ROWS.wrong(where, nudge, worked)


def _means(study: Study) -> Remark:
    if all(row.mean is None for row in study.table.rows):
        return MEANS.missing("There are no means in the table yet.")
    faults = ("struck kept", "one left out", "no", "none")
    off = [one for one in study.mean_checks if one.follows in faults]
    if not off:
        return MEANS.right()
    where = listed([f"row {one.row.number}" for one in off])
    texts = [one.row.mean.text for one in off if one.row.mean]
    if not study.has_rough and all(one.follows == "one left out" for one in off):
        left = listed([f"{plain(one.left_out_cm)} cm in row {one.row.number}" for one in off])
        return MEANS.teacher(f"The mean follows if {left} is left out: is that an anomaly?", *texts)
    nudge = " ".join(_mean_nudge(one) for one in off[:3])
    worked = " ".join(
        f"Row {one.row.number}: {_working(one, study.mean_places[-1])}."
        for one in off
        if one.values_cm
    )
    return MEANS.wrong(where, nudge, worked, *texts)


def _working(check: MeanCheck, places: int) -> str:
    """The sum that gives a row's mean, with its result to the places justified."""
    total = " + ".join(plain(value) for value in check.values_cm)
    count = len(check.values_cm)
    return f"({total}) cm ÷ {count} = {fixed(sum(check.values_cm) / count, places)} cm"


def _mean_nudge(check: MeanCheck) -> str:
    row = f"row {check.row.number}"
    if check.follows == "none":
        return f"There is no mean in {row}."
    if check.follows == "struck kept":
        return (
            f"The mean in {row} follows if the struck-out reading is kept, not if it is left out."
        )
    if check.follows == "one left out":
        return (
            f"The mean in {row} follows if one reading is left out, but none of this row is "
            "struck out."
        )
    return f"The mean in {row} does not follow from its readings, with or without any of them."


def _mean_places(study: Study) -> Remark:
    table = study.table
    means = [row.mean for row in table.rows if row.mean and not math.isnan(row.mean.value)]
    if not means:
        return MEAN_PLACES.missing("There are no means in the table yet.")
    allowed = study.mean_places
    odd = [one for one in means if one.places not in allowed] or _minority(means)
    if not odd:
        return MEAN_PLACES.right()
    where = listed([place(one) for one in odd])
    uneven = len({one.places for one in means}) > 1
    nudge = (
        f"The means do not all have the same number of decimal places: look at {where}."
        if uneven
        else f"The decimal places of the means ({where}) are not those that such readings justify."
    )
    counts = " or ".join(str(count) for count in allowed)
    worked = f"Readings to {table.places} decimal places give means to {counts} in cm, all alike."
    return MEAN_PLACES.wrong(where, nudge, worked, *(one.text for one in odd))
