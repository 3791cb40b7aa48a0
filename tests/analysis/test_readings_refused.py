"""Bad input: one sentence with the file, the place and how to mend it, and never a traceback."""

import io
import os
import zipfile
from collections.abc import Callable
from pathlib import Path

import pandas as pd
import pytest
import xlsxwriter

from analysis.readings.readings import Readings, grid, read_readings
from analysis.refusal import Refused
from tests.analysis.readings_out import write_readings

WIDE = "temperature / °C,rebound height 1 / cm,rebound height 2 / cm\n"
TIDY = "temperature / °C,repeat,rebound height / cm\n"

REFUSED: dict[str, tuple[str, tuple[str, ...]]] = {
    "empty file": ("", ("is empty", "save")),
    "only blanks": (" \n\n ", ("is empty",)),
    "no temperature heading": (
        "warmth,rebound height 1 / cm\n20,23\n",
        ("no temperature heading", "head the column 'temperature / °C'"),
    ),
    "temperature without a unit": (
        "Our readings\ntemperature,rebound height 1 / cm\n20,23\n",
        ("row 2", "column 'temperature'", "has no unit", "'temperature / °C'"),
    ),
    "temperature in a unit that is none": (
        "temperature / bar,rebound height 1 / cm\n20,23\n",
        ("row 1", "column 'temperature / bar'", "'bar'", "'temperature / °C'"),
    ),
    "temperature in centimetres": (
        "temperature / cm,rebound height 1 / cm\n20,23\n",
        ("row 1", "'temperature / cm'", "no unit of temperature"),
    ),
    "height in a unit that is no length": (
        "temperature / °C,rebound height 1 / kg\n20,23\n",
        ("row 1", "'rebound height 1 / kg'", "'kg' is no unit of length", "cm, mm, m or in"),
    ),
    "height in degrees": (
        "temperature / °C,rebound height 1 / °C\n20,23\n",
        ("row 1", "no unit of length"),
    ),
    "height without a unit": (
        "temperature / °C,repeat 1,repeat 2\n20,23,24\n",
        ("row 1", "column 'repeat 1'", "the unit is missing", "'rebound height 1 / cm'"),
    ),
    "no height heading": (
        "temperature / °C,colour\n20,red\n",
        ("row 1", "no heading for rebound heights", "'rebound height 1 / cm'"),
    ),
    "a repeat that is not a number": (
        WIDE + "20,23,24\n30,28,abc\n",
        (
            "row 3",
            "column 'rebound height 2 / cm'",
            "'abc' is not a number",
            "leave the cell blank",
        ),
    ),
    "several bad cells": (
        WIDE + "20,x1,24\n30,x2,x3\n",
        ("row 2", "column 'rebound height 1 / cm'", "'x1'", "(2 more cells are at fault)"),
    ),
    "two bad cells": (WIDE + "20,x1,24\n30,x2,3\n", ("'x1'", "(1 more cell is at fault)")),
    "not a number": (WIDE + "20,nan,24\n", ("row 2", "'nan' is not a number")),
    "infinity": (WIDE + "20,inf,24\n", ("row 2", "'inf' is not a number")),
    "too large for a number": (WIDE + "20,1e999,24\n", ("row 2", "'1e999' is not a number")),
    "a date": (WIDE + "20,2024-05-03,24\n", ("row 2", "is a date", "format the column")),
    "another unit in the cell": (
        WIDE + "20,230 mm,24\n",
        ("row 2", "'230 mm'", "convert it to cm"),
    ),
    "a temperature that is not a number": (
        WIDE + "tepid,23,24\n",
        ("row 2", "column 'temperature / °C'", "'tepid'"),
    ),
    "no temperature in a row": (
        WIDE + "20,23,24\n,28,29\n",
        ("row 3", "column 'temperature / °C'", "no temperature", "fill it in"),
    ),
    "negative height": (
        WIDE + "20,23,-24\n",
        ("row 2", "column 'rebound height 2 / cm'", "cannot be negative", "above the floor"),
    ),
    "rebound above the drop height": (
        "temperature / °C,rebound height 1 / cm,drop height / cm\n20,23,80\n30,81,80\n",
        ("row 3", "column 'rebound height 1 / cm'", "81 cm", "80 cm", "correct it"),
    ),
    "rebound above the drop height that is taken": (
        WIDE + "20,23,124\n",
        ("row 2", "124 cm", "100 cm", "no drop height is given", "'drop height / cm'"),
    ),
    "drop height of zero": (
        "temperature / °C,rebound height 1 / cm,drop height / cm\n20,0,0\n",
        ("row 2", "column 'drop height / cm'", "above zero"),
    ),
    "drop height blank among others": (
        "temperature / °C,rebound height 1 / cm,drop height / cm\n20,9,80\n30,9,90\n40,9,\n",
        ("row 4", "column 'drop height / cm'", "fill it in"),
    ),
    "below the freezing point": (
        WIDE + "20,23,24\n-5,23,24\n",
        ("row 3", "column 'temperature / °C'", "-5 °C is outside 0 to 100 °C"),
    ),
    "kelvin under the heading °C": (
        WIDE + "293,23,24\n",
        ("row 2", "293 °C", "unit in the heading"),
    ),
    "true temperature out of range": (
        "temperature / °C,repeat,rebound height / cm,true temperature / °C\n20,1,23,120\n",
        ("row 2", "column 'true temperature / °C'", "120 °C"),
    ),
    "the same heading twice": (
        "temperature / °C,rebound height 1 / cm,Rebound Height 1 (cm)\n20,23,24\n",
        ("row 1", "columns B and C", "'Rebound Height 1 (cm)'", "rename or delete"),
    ),
    "two temperature headings": (
        "water temperature / °C,repeat 1 / cm,ball temperature / °C\n20,23,19\n",
        ("row 1", "columns A and C", "rename or delete"),
    ),
    "one height without its number": (
        "temperature / °C,rebound height / cm,rebound height 2 / cm\n20,23,24\n",
        ("row 1", "'rebound height / cm' without a number", "number it"),
    ),
    "repeat column beside numbered heights": (
        "temperature / °C,repeat,rebound height 1 / cm\n20,1,24\n",
        ("row 1", "a column 'repeat'", "delete"),
    ),
    "repeat zero": (
        "temperature / °C,rebound height 0 / cm\n20,23\n",
        ("row 1", "column 'rebound height 0 / cm'", "number the repeats 1, 2, 3"),
    ),
    "the same repeat twice": (
        TIDY + "20,1,23\n20,2,24\n30,1,28\n20,2,25\n",
        ("row 5", "column 'repeat'", "repeat 2 at 20 °C", "row 3", "number the repeats"),
    ),
    "the same repeat twice for one student": (
        "student,temperature / °C,repeat,rebound height / cm\nAl,20,1,23\nBo,20,1,24\nAl,20,1,2\n",
        ("row 4", "row 2", "for 'Al'"),
    ),
    "a repeat of one and a half": (
        TIDY + "20,1.5,23\n",
        ("row 2", "'repeat'", "whole number from 1"),
    ),
    "a repeat far too large": (TIDY + "20,1000000000,23\n", ("row 2", "to 100,000")),
    "no repeat number": (TIDY + "20,,23\n", ("row 2", "'repeat'", "no repeat number")),
    "reheated neither yes nor no": (
        "temperature / °C,repeat,rebound height / cm,reheated\n20,1,23,perhaps\n",
        ("row 2", "column 'reheated'", "'perhaps' is neither yes nor no"),
    ),
    "reheated left blank": (
        "temperature / °C,repeat,rebound height / cm,reheated\n20,1,23,\n",
        ("row 2", "column 'reheated'", "fill it in"),
    ),
    "no reading at all": (
        WIDE + "20,,\n30,,\n",
        ("no reading", "'rebound height 1 / cm'", "row 1", "write"),
    ),
    "headings only": (WIDE, ("no reading",)),
    "a reading under no heading": (
        WIDE + "20,23,24,25\n",
        ("row 2", "column 'D'", "'25' stands under no heading", "give the column a heading"),
    ),
    "decimal comma not quoted": (WIDE + "20,23,5,24,5\n", ("row 2", "decimal commas in quotes")),
    "quotation mark left open": (
        WIDE + '20,"23,24\n30,28,29\n',
        ("quotation marks do not pair", "save it as csv again"),
    ),
    "a cell of a table on its side": (
        "temperature / °C,20,30\nrepeat 1 / cm,23,28\nrepeat 2 / cm,24,abc\n",
        ("column C, row 'repeat 2 / cm'", "'abc' is not a number"),
    ),
    "two rows of a table on its side alike": (
        "temperature / °C,20,30\nrepeat 1 / cm,23,28\nrepeat 1 / cm,24,28\n",
        ("column A, rows 2 and 3", "rename or delete"),
    ),
    "temperatures across with no word of heights": (
        "temperature / °C,20,30\n1,23,28\n2,24,28\n",
        ("column A, row '1'", "the unit is missing"),
    ),
    "a row of one, two that is no heading": (
        WIDE + ",1,2\n20,23,24\n",
        ("row 2", "no temperature"),
    ),
    "one, two below a repeat and a height": (TIDY + ",1,2\n20,1,23\n", ("row 2", "no temperature")),
    "decimal comma not quoted below one height": (
        "temperature / °C,rebound height / cm\n20,23,5\n30,24,5\n",
        ("row 2, column 'C'", "decimal commas in quotes"),
    ),
    "a table on another's right, further down": (
        WIDE.replace("\n", ",,,\n") + "20,23,24,,,\n30,23,24,,temperature / °C,repeat 1 / cm\n"
        "40,23,24,,20,23\n",
        ("at A1 and another at E3", "keep one of them", "'student' or 'reheated'"),
    ),
    "too many columns": (
        "temperature / °C," + ",".join(f"repeat {i} / cm" for i in range(1, 2_001)) + "\n20,1\n",
        ("2,000 headings", "row 1", "one drop a row"),
    ),
}


def refusal_of(path: Path) -> str:
    with pytest.raises(Refused) as refused:
        read_readings(path)
    sentence = str(refused.value)
    assert path.name in sentence
    assert "\n" not in sentence
    assert sentence.endswith(".")
    return sentence


@pytest.mark.parametrize(("content", "parts"), REFUSED.values(), ids=REFUSED.keys())
def test_bad_csv_is_refused_in_one_sentence(
    tmp_path: Path, content: str, parts: tuple[str, ...]
) -> None:
    path = tmp_path / "class 9.csv"
    path.write_text(content, encoding="utf-8")
    sentence = refusal_of(path)
    for part in parts:
        assert part in sentence


def test_missing_file_folder_and_other_kinds_are_refused(tmp_path: Path) -> None:
    assert "There is no file" in refusal_of(tmp_path / "none.csv")
    assert "is a folder" in refusal_of(tmp_path)
    old = tmp_path / "old.xls"
    old.write_bytes(b"\xd0\xcf\x11\xe0")
    assert "not a csv, xlsx or ods file" in refusal_of(old)


@pytest.mark.skipif(os.geteuid() == 0, reason="root may read everything")
def test_file_that_may_not_be_read_is_refused(tmp_path: Path) -> None:
    path = tmp_path / "locked.csv"
    path.write_text(WIDE)
    path.chmod(0)
    assert "cannot be opened" in refusal_of(path)


@pytest.mark.parametrize(
    "content",
    [b"\x89PNG\r\n\x1a\n\0\0\0\rIHDR", bytes(range(256)) * 4, b"\xff\xfe\x00", b"\x81\x8d" * 50],
    ids=["picture", "every byte", "half of UTF-16", "no letters"],
)
def test_binary_rubbish_is_refused_as_no_text(tmp_path: Path, content: bytes) -> None:
    path = tmp_path / "rubbish.csv"
    path.write_bytes(content)
    assert "is not text" in refusal_of(path)


def test_file_above_the_limit_is_refused(tmp_path: Path) -> None:
    path = tmp_path / "huge.csv"
    with path.open("wb") as file:
        file.truncate(32_000_001)
    assert "larger than 32 MB" in refusal_of(path)


CELLS = ["12," * 1_000_001, "x" * 10_000_001, "1\n" * 1_000_001, "1\r" * 1_000_001]


@pytest.mark.parametrize("cells", CELLS, ids=["wide", "long", "tall", "old"])
def test_a_csv_of_too_many_cells_is_refused_before_they_are_laid_out(
    tmp_path: Path, cells: str
) -> None:
    path = tmp_path / "wide.csv"
    path.write_text(WIDE + cells, newline="")
    assert "more than 1,000,000 cells" in refusal_of(path)


@pytest.mark.parametrize("suffix", [".xlsx", ".ods"])
@pytest.mark.parametrize("content", [b"rubbish", b"PK\x03\x04rubbish", b"PK\x05\x06" + b"\0" * 18])
def test_damaged_workbook_is_refused(tmp_path: Path, suffix: str, content: bytes) -> None:
    path = tmp_path / f"book{suffix}"
    path.write_bytes(content)
    assert "is damaged" in refusal_of(path)


@pytest.mark.parametrize("suffix", [".xlsx", ".ods"])
def test_workbook_behind_a_password_is_refused(tmp_path: Path, suffix: str) -> None:
    path = tmp_path / f"secret{suffix}"
    path.write_bytes(b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1" + b"\0" * 2000)
    assert "without a password" in refusal_of(path)


def test_bad_cell_of_a_workbook_is_named(tmp_path: Path) -> None:
    path = tmp_path / "book.xlsx"
    with xlsxwriter.Workbook(path) as book:
        sheet = book.add_worksheet()
        sheet.write_row(2, 1, ["temperature / °C", "repeat 1 / cm"])
        sheet.write_row(3, 1, [20, 23])
        sheet.write_row(4, 1, [30, "much"])
    sentence = refusal_of(path)
    assert "row 5, column 'repeat 1 / cm'" in sentence
    assert "'much'" in sentence


def far_xlsx(path: Path) -> None:
    with xlsxwriter.Workbook(path) as book:
        sheet = book.add_worksheet()
        sheet.write(0, 0, "temperature / °C")
        sheet.write(1_048_575, 16_383, "stray")


def far_ods(path: Path) -> None:
    write_readings(one_reading(), path)
    content = io.BytesIO()
    with zipfile.ZipFile(path) as old, zipfile.ZipFile(content, "w") as new:
        for name in old.namelist():
            part = old.read(name)
            if name == "content.xml":
                rows = b'<table:table-row table:number-rows-repeated="1000000">'
                cell = b'<table:table-cell table:number-columns-repeated="16000"'
                part = part.replace(b"<table:table-row>", rows).replace(b"<table:table-cell", cell)
            new.writestr(name, part)
    path.write_bytes(content.getvalue())


@pytest.mark.parametrize(("name", "make"), [("far.xlsx", far_xlsx), ("far.ods", far_ods)])
def test_workbook_laid_out_too_far_is_refused_before_it_takes_the_memory(
    tmp_path: Path, name: str, make: Callable[[Path], None]
) -> None:
    path = tmp_path / name
    make(path)
    assert "lays out more than 1,000,000 cells" in refusal_of(path)


def one_reading() -> pd.DataFrame:
    return pd.DataFrame({"temperature_k": [293.15], "repeat": [1], "rebound_height_m": [0.23]})


def test_writing_over_a_file_needs_force(tmp_path: Path) -> None:
    path = tmp_path / "readings.csv"
    path.write_text("mine")
    with pytest.raises(Refused, match=r"readings\.csv exists already.*--force"):
        write_readings(one_reading(), path)
    assert path.read_text() == "mine"
    write_readings(one_reading(), path, force=True)
    assert read_readings(path).frame["repeat"].tolist() == [1]


@pytest.mark.parametrize(
    ("name", "reason"),
    [
        ("r.txt", "csv, xlsx or ods"),
        ("none/r.csv", "cannot be written"),
        ("", "is a folder|ending"),
    ],
)
def test_where_nothing_can_be_written_is_refused(tmp_path: Path, name: str, reason: str) -> None:
    with pytest.raises(Refused, match=reason):
        write_readings(one_reading(), tmp_path / name)
    assert list(tmp_path.iterdir()) == []


def test_wide_layout_refuses_what_it_cannot_hold(tmp_path: Path) -> None:
    twice = pd.concat([one_reading(), one_reading()])
    with pytest.raises(Refused, match="repeat number stands twice"):
        write_readings(twice, tmp_path / "twice.csv")
    many = pd.DataFrame(
        {"temperature_k": 293.15, "repeat": range(1, 2_001), "rebound_height_m": 0.23}
    )
    with pytest.raises(Refused, match="write one drop a row"):
        write_readings(many, tmp_path / "many.csv")
    assert list(tmp_path.iterdir()) == []


def test_grid_refuses_what_is_no_one_table() -> None:
    two_drops = pd.DataFrame(
        {
            "temperature_k": [293.15, 303.15],
            "repeat": [1, 1],
            "rebound_height_m": [0.2, 0.3],
            "drop_height_m": [0.8, 1.0],
        }
    )
    with pytest.raises(Refused, match="drop heights from 80 cm to 100 cm"):
        grid(Readings(two_drops, "class.csv", 0))
    count = 10_000
    scattered = pd.DataFrame(
        {
            "temperature_k": 293.15 + pd.Series(range(count)) * 0.001,
            "repeat": pd.Series(range(count)) + 1,
            "rebound_height_m": 0.2,
        }
    )
    with pytest.raises(Refused, match="too many for one table"):
        grid(Readings(scattered, "class.csv", 0))
