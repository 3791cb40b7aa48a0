"""The columns of a table as arrays in SI, every cell that cannot be read named at once."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, Any, NamedTuple

import numpy as np

from analysis.cells import Cell, Number, is_blank, name, number, yes_or_no
from analysis.faults import Fault, quoted, refuse_if_any
from analysis.headings import KIND, MEAN, REHEATED, REPEAT, STUDENT, Heading
from analysis.units import to_si

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from analysis.tables import Table


class Column(NamedTuple):
    """One column: values in SI (names as they are), NaN where blank, and decimals as written."""

    values: NDArray[Any]
    decimals: NDArray[np.int64]
    remarks: int = 0


def read_columns(table: Table) -> dict[int, Column]:
    """Each column of known quantity, by its place. Raises Refused naming the first bad cell."""
    columns: dict[int, Column] = {}
    faults: list[Fault] = []
    for index, heading in enumerate(table.headings):
        if heading.quantity == STUDENT:
            names = np.array([name(cell) for cell in table.column(index)], dtype=object)
            columns[index] = Column(names, np.zeros(len(names), np.int64))
        elif heading.quantity in (REPEAT, REHEATED) or heading.fits:
            columns[index] = _numbers(table, index, heading, faults)
    refuse_if_any(table.source, faults)
    return columns


def _numbers(table: Table, index: int, heading: Heading, faults: list[Fault]) -> Column:
    cells = table.column(index)
    # Readings repeat themselves: each distinct cell is parsed once.
    parsed = {cell: _parsed(cell, heading) for cell in set(cells)}
    if heading.quantity != MEAN and any(one.fault for one in parsed.values()):
        faults += [
            table.fault(row, index, parsed[cell].fault)
            for row, cell in enumerate(cells)
            if parsed[cell].fault
        ]
    values = np.array([parsed[cell].value for cell in cells], dtype=np.float64)
    decimals = np.array([parsed[cell].decimals for cell in cells], dtype=np.int64)
    remarks = sum(bool(parsed[cell].remark) for cell in cells)
    if heading.quantity in KIND and heading.unit:
        values = to_si(values, heading.unit)
    return Column(values, decimals, remarks)


def _parsed(cell: Cell, heading: Heading) -> Number:
    if heading.quantity != REHEATED:
        return number(cell, heading.unit)
    said = yes_or_no(cell)
    if said is None and not is_blank(cell):
        return Number(math.nan, fault=f"{quoted(cell)} is neither yes nor no: write one of them")
    return Number(math.nan if said is None else float(said))
