"""A table as plain text: for a terminal, and as a CSV file."""

import csv
import io
import re
from collections.abc import Iterator

from analysis.paper.document import Table
from analysis.quantity.text import MISSING

_NUMBER = re.compile(rf"[-+0-9.]+|{MISSING}")


def table_csv(table: Table) -> bytes:
    """Give a table as a CSV file that spreadsheets open with its degree signs (BOM).

    What cannot be given is blank there.
    """
    text = io.StringIO(newline="")
    writer = csv.writer(text, lineterminator="\r\n")
    writer.writerow(table.headings)
    writer.writerows(["" if cell == MISSING else cell for cell in row] for row in table.rows)
    return text.getvalue().encode("utf-8-sig")


def plain_lines(table: Table) -> Iterator[str]:
    """Yield a table for a terminal, without colour; columns of numbers stand right."""
    columns = list(zip(table.headings, *table.rows, strict=True))
    widths = [max(map(len, column)) for column in columns]
    right = [all(map(_NUMBER.fullmatch, column[1:])) for column in columns]
    for row in zip(*columns, strict=True):
        cells = zip(row, widths, right, strict=True)
        yield "  ".join(t.rjust(w) if r else t.ljust(w) for t, w, r in cells).rstrip()
