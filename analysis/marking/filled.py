"""A results table filled in on paper and typed off, as work to be marked.

One sheet (csv, xlsx or ods) holds the table: a row of headings, exactly as the student wrote
them, and the rows below. Above it may stand "drop height / cm" or "mass / g" with a number in the
next cell. Answers may follow below the table, or on another sheet: page (or nothing), question,
answer. Questions are known by their names or their words in `analysis.marking.questions`.

A workbook keeps 23.0 as the number 23: there every number under headings of one kind is written
to as many decimal places as the longest of them, so uneven places are not told from a workbook.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from pathlib import Path
from types import MappingProxyType

from analysis.marking.questions import ANSWERED
from analysis.marking.work import Cell, QuestionKey, Work
from analysis.quantity.headings import DROP_HEIGHT, KIND, MASS, own_heading, read_heading
from analysis.quantity.units import normalised, restated, school_unit
from analysis.quantity.written import Cell as Content
from analysis.quantity.written import decimals_needed, is_blank, number
from analysis.readings.sheets import Sheet, sheets
from analysis.refusal import Refused

MOST_ROWS, MOST_COLUMNS = 200, 50
"""A student's table is no larger; what lies beyond is not looked at."""

_HEADING_ROWS = 40
_LONGEST = 2_000  # characters of one answer


@dataclass(frozen=True)
class _Place:
    """Where a table was found: sheet, heading row, first column, and the row after its last."""

    sheet: Sheet
    top: int
    left: int
    end: int


def read_work(path: str | Path) -> Work:
    """Read a filled-in table with its answers, if any.

    Raises Refused, in one sentence, if the file cannot be read or has no heading row over
    numbers.
    """
    path = Path(path)
    seen: list[Sheet] = []
    place: _Place | None = None
    for sheet in sheets(path):
        seen.append(sheet)
        place = place or _find(sheet)
        if place and sheet.typed:
            break
    if place is None:
        raise Refused(
            f"{path.name} has no results table: write a row of headings, such as "
            "'temperature / °C' and 'rebound height 1 / cm', above the readings."
        )
    others = [one for one in seen if one is not place.sheet and not one.typed]
    return Work(
        cells=MappingProxyType(_cells(place)),
        answers=MappingProxyType(_answers([place.sheet, *others], place)),
        drop_height_cm=_setting(path.name, place, others, DROP_HEIGHT),
        mass_g=_setting(path.name, place, others, MASS),
    )


def _find(sheet: Sheet) -> _Place | None:
    """The first row of two headings or more, one of them of ours, over a row with two numbers."""
    for top, row in enumerate(sheet.rows[:_HEADING_ROWS]):
        texts = [c for c, cell in enumerate(row[:MOST_COLUMNS]) if _is_words(cell)]
        known = [c for c in texts if own_heading(str(row[c])).role in ("temperature", "height")]
        if len(texts) < 2 or not known:
            continue
        end = _end(sheet, top)
        if any(sum(map(_has_number, row)) >= 2 for row in sheet.rows[top + 1 : end]):
            first = [
                next((c for c, cell in enumerate(line) if not is_blank(cell)), MOST_COLUMNS)
                for line in sheet.rows[top:end]
            ]
            return _Place(sheet, top, min(first), end)
    return None


def _end(sheet: Sheet, top: int) -> int:
    """The first row below that is blank or an answer's."""
    for below, row in enumerate(sheet.rows[top + 1 : top + 1 + MOST_ROWS], start=top + 1):
        if all(map(is_blank, row)) or _question(row):
            return below
    return min(len(sheet.rows), top + 1 + MOST_ROWS)


def _is_words(cell: Content) -> bool:
    return isinstance(cell, str) and bool(cell.strip()) and len(cell) < 200


def _has_number(cell: Content) -> bool:
    if not isinstance(cell, str):
        return True
    return bool(cell.strip()) and any(sign.isdigit() for sign in cell)


def _cells(place: _Place) -> dict[Cell, str]:
    rows = [row[place.left : MOST_COLUMNS] for row in place.sheet.rows[place.top : place.end]]
    heads = {column: own_heading(_text(cell, 0)) for column, cell in enumerate(rows[0])}
    roles = {column: heading.role or "height" for column, heading in heads.items()}
    places: dict[str, int] = {}
    for row in rows[1:]:
        for column, cell in enumerate(row):
            if isinstance(cell, float) and math.isfinite(cell):
                role = roles.get(column, "height")
                places[role] = max(places.get(role, 0), decimals_needed(cell))
    return {
        (line, column): _text(cell, places.get(roles.get(column, "height"), 0) if line else 0)
        for line, row in enumerate(rows)
        for column, cell in enumerate(row)
        if not is_blank(cell)
    }


def _text(cell: Content, places: int) -> str:
    return cell.strip() if isinstance(cell, str) else f"{cell:.{places}f}"


def _answers(found: list[Sheet], place: _Place) -> dict[QuestionKey, str]:
    """Answers from below or above the table and from the other sheets, the first of each."""
    answers: dict[QuestionKey, str] = {}
    for sheet in found:
        for at, row in enumerate(sheet.rows[:1000]):
            inside = sheet is place.sheet and place.top <= at < place.end
            read = None if inside else _question(row)
            if read:
                answers.setdefault(*read)
    return answers


def _question(row: list[Content]) -> tuple[QuestionKey, str] | None:
    """Page (or nothing), question and answer of a row; None where it holds no question of ours."""
    filled = [cell for cell in row if not is_blank(cell)]
    for before in (1, 0):
        if len(filled) >= before + 1 and isinstance(filled[before], str):
            page = _key(filled[0]) if before else ""
            asked = _ASKED.get((page, _key(filled[before])))
            if asked:
                answer = filled[before + 1] if len(filled) > before + 1 else ""
                return asked, _answer_text(answer)
    return None


def _key(cell: Content) -> str:
    return normalised(str(cell)).strip(" .?:")


_ASKED: dict[tuple[str, str], QuestionKey] = {
    (_key(page), _key(text)): (asked.page, asked.name)
    for asked in reversed(list(ANSWERED.values()))
    for page in ("", asked.page)
    for text in (asked.name, asked.words)
}
"""The questions by page (or nothing) and by their names and their words; of equals the first."""


def _answer_text(cell: Content) -> str:
    return cell.strip()[:_LONGEST] if isinstance(cell, str) else f"{cell:.12g}"


def _setting(source: str, place: _Place, others: Iterable[Sheet], name: str) -> float:
    """A number above 0 beside "drop height / cm" or "mass / g", wherever outside the table."""
    usual: Mapping[str, float] = {DROP_HEIGHT: Work.drop_height_cm, MASS: Work.mass_g}
    rows = [*place.sheet.rows[: place.top], *place.sheet.rows[place.end :]]
    rows += [row for sheet in others for row in sheet.rows[:200]]
    for row in rows:
        for at, cell in enumerate(row[:-1]):
            unit = _setting_unit(cell, name)
            if unit:
                value = restated(number(row[at + 1], None).value, unit, school_unit(KIND[name]))
                if not 0 < value < 1e6:
                    raise Refused(
                        f"In {source} the {name} beside {str(cell)!r} is not a number above 0: "
                        "write one, or take the line out."
                    )
                return value
    return usual[name]


def _setting_unit(cell: Content, name: str) -> str | None:
    """The unit of a setting's heading; None where the cell is no such setting."""
    if not isinstance(cell, str) or len(cell) > 100:
        return None
    heading = read_heading(cell)
    return heading.unit if heading.quantity == name and heading.fits else None
