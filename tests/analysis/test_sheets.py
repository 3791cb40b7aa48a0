"""Files as schools have them: separators, decimal commas, encodings, workbooks."""

import datetime
from pathlib import Path

import pytest
import xlsxwriter

from analysis.readings.readings import Readings, read_readings

TABLE = "temperature / °C,rebound height 1 / cm,rebound height 2 / cm\n20,23.0,24.5\n40,,33.0\n"


def read(tmp_path: Path, text: str, encoding: str = "utf-8") -> Readings:
    path = tmp_path / "readings.csv"
    path.write_bytes(text.encode(encoding))
    return read_readings(path)


def drops_of(readings: Readings) -> list[tuple[float, int, float]]:
    frame = readings.frame
    return [
        (round(kelvin - 273.15, 9), repeat, round(height * 100, 9))
        for kelvin, repeat, height in zip(
            frame["temperature_k"], frame["repeat"], frame["rebound_height_m"], strict=True
        )
    ]


EXPECTED = [(20.0, 1, 23.0), (20.0, 2, 24.5), (40.0, 2, 33.0)]


@pytest.mark.parametrize("encoding", ["utf-8", "utf-8-sig", "utf-16", "cp1252"])
@pytest.mark.parametrize("separator", [",", ";", "\t"])
def test_every_encoding_and_separator_gives_the_same_drops(
    tmp_path: Path, encoding: str, separator: str
) -> None:
    readings = read(tmp_path, TABLE.replace(",", separator), encoding)
    assert drops_of(readings) == EXPECTED
    assert readings.decimal_places == 1
    guessed = any("Windows-1252" in notice for notice in readings.notices)
    assert guessed == (encoding == "cp1252")


def test_big_endian_utf_16_is_read(tmp_path: Path) -> None:
    assert drops_of(read(tmp_path, "\ufeff" + TABLE, "utf-16-be")) == EXPECTED


@pytest.mark.parametrize("line_end", ["\n", "\r\n", "\r"])
def test_decimal_comma_with_semicolons(tmp_path: Path, line_end: str) -> None:
    text = TABLE.replace(",", ";").replace(".", ",").replace("\n", line_end)
    readings = read(tmp_path, text)
    assert drops_of(readings) == EXPECTED
    assert readings.decimal_places == 1


def test_quoted_decimal_comma_between_commas(tmp_path: Path) -> None:
    text = 'temperature / °C,repeat 1 / cm,repeat 2 / cm\n"20,0","23,0","24,5"\n40,,"33,0"\n'
    assert drops_of(read(tmp_path, text)) == EXPECTED


def test_titles_blank_lines_and_stray_columns_are_passed_over(tmp_path: Path) -> None:
    text = (
        "sep=,\nEffect of temperature on rebound height,,\nLarkmere Vale School,,\n\n"
        ",,temperature / °C,rebound height 1 / cm,,rebound height 2 / cm,,\n"
        ",,,,,,,\n,,20,23.0,,24.5,,\n\n,,40,,,33.0,,\nthe floor was stone\n"
    )
    readings = read(tmp_path, text)
    assert drops_of(readings) == EXPECTED
    assert "Row 10 holds a note and no readings; it was left out." in readings.notices


def test_row_numbers_count_title_and_blank_lines(tmp_path: Path) -> None:
    text = "title\n\n" + TABLE
    notices = read(tmp_path, text).notices
    assert any("row 5, column 'rebound height 1 / cm'" in notice for notice in notices)


@pytest.mark.parametrize(
    ("cell", "centimetres"),
    [
        ("２３．５", 23.5),
        ("23.5\u00a0", 23.5),
        (" 23.5 ", 23.5),
        ("+23.5", 23.5),
        ("2.35e1", 23.5),
        ("23.5 cm", 23.5),
        ("23.5cm", 23.5),
        ("23.", 23.0),
        (".5", 0.5),
    ],
)
def test_kindly_read_numbers(tmp_path: Path, cell: str, centimetres: float) -> None:
    readings = read(tmp_path, f"temperature / °C,repeat 1 / cm\n20,{cell}\n")
    assert drops_of(readings) == [(20.0, 1, centimetres)]
    assert any("unit" in notice for notice in readings.notices) == ("cm" in cell)


@pytest.mark.parametrize("blank", ["", "-", "–", "n/a", " ", "\u00a0", "missing"])
def test_what_stands_for_no_reading_is_a_missing_repeat(tmp_path: Path, blank: str) -> None:
    readings = read(tmp_path, f"temperature / °C,repeat 1 / cm,repeat 2 / cm\n20,{blank},9\n")
    assert drops_of(readings) == [(20.0, 2, 9.0)]
    assert any("missing repeat" in notice for notice in readings.notices)


def workbook(path: Path) -> None:
    with xlsxwriter.Workbook(path) as book:
        first = book.add_worksheet("about")
        first.write_row(0, 0, ["Our practical", datetime.date(2024, 5, 3).isoformat()])
        sheet = book.add_worksheet("table")
        sheet.write_row(1, 1, ["temperature / °C", "repeat 1 / cm", "repeat 2 / cm", "mean / cm"])
        sheet.write_row(2, 1, [20, 23, 24.5])
        sheet.write_formula(2, 4, "=AVERAGE(C3:D3)", None, 23.75)
        sheet.write_row(4, 1, [40, "", "33,0"])
        book.add_worksheet("copy").write_row(0, 0, ["temperature / °C", "repeat 1 / cm"])


def test_workbook_is_read_from_its_first_sheet_with_a_temperature(tmp_path: Path) -> None:
    path = tmp_path / "class.xlsx"
    workbook(path)
    readings = read_readings(path)
    assert drops_of(readings) == EXPECTED
    assert readings.decimal_places == 1
    assert any("Only the sheet 'table' was read" in notice for notice in readings.notices)
    assert not any("mean" in notice for notice in readings.notices)
