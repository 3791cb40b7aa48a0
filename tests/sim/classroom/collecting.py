"""A class's folder collected by the command, and its workbook read and judged as a teacher does."""

import re
from html import unescape

import python_calamine
import xlsxwriter

from sim.__main__ import main
from sim.classroom.answers import SHEET
from sim.classroom.corrections import student_runs


def collect(handed, *options):
    out = handed.parent / "results"
    options = ["--key", f"{handed.parent / 'key.json'}", "--out", f"{out}", "--force", *options]
    assert main(["collect", f"{handed}", *options]) == 0
    return out


def sheet_of(path, name=SHEET):
    rows = python_calamine.load_workbook(path).get_sheet_by_name(name).to_python()
    top = next(n for n, row in enumerate(rows) if "criterion" in row or "practical" in row)
    return [dict(zip(rows[top], row, strict=True)) for row in rows[top + 1 :]]


def judge_in_workbook(path, said, without=()):
    """Write verdicts into the sheet as a teacher does; `said` gives one for a row, or nothing.

    `without` names columns that the sheet has not, as those of earlier programs.
    """
    rows = python_calamine.load_workbook(path).get_sheet_by_name(SHEET).to_python()
    top = next(n for n, row in enumerate(rows) if "criterion" in row)
    dropped = [rows[top].index(heading) for heading in without]
    with xlsxwriter.Workbook(path) as book:
        page = book.add_worksheet(SHEET)
        for number, row in enumerate(rows):
            if number > top:
                found = dict(zip(rows[top], row, strict=True))
                row[rows[top].index("verdict")] = said(found) or ""
            kept = [cell for at, cell in enumerate(row) if at not in dropped]
            page.write_row(number, 0, kept)


def marks_of(out):
    return [row["marks"] for row in sheet_of(out / "class.xlsx", "marks")]


def texts(page):
    return [unescape(one).replace("\u00a0", " ") for one in re.findall(r">([^<>]+)<", page)]


def listed(cell):
    return [n for a, b in student_runs(str(cell).removesuffix(".0")) for n in range(a, b + 1)]
