"""Tables filled in on paper and typed off: what is read, and what is refused in one sentence."""

from dataclasses import replace
from datetime import date

import pytest
import xlsxwriter

from analysis.marking.filled import read_work
from analysis.marking.mark import mark
from analysis.marking.questions import ANSWERED, CONCLUSION, ENERGY, EVALUATION, TABLE
from analysis.marking.study import Study
from analysis.refusal import Refused
from tests.analysis.marking.right_work import right_work

TABLE_TEXT = """\
temp / °C,rebound height 1 / cm,rebound height 2 / cm,mean / cm
20,24,23 cm,23.5
30,31,29.0,30.0
40,36,37,36.5
"""


def file(tmp_path, text, name="larkmere.csv"):
    path = tmp_path / name
    path.write_text(text, encoding="utf-8")
    return path


def test_cells_are_kept_exactly_as_written(tmp_path):
    work = read_work(file(tmp_path, TABLE_TEXT))
    assert work.cells[0, 0] == "temp / °C"
    assert work.cells[1, 2] == "23 cm"
    assert work.cells[2, 2] == "29.0"
    assert work.rough is None
    assert work.graph is None
    assert not work.answers


def test_faults_of_a_typed_table_are_found(tmp_path):
    remarks = mark(read_work(file(tmp_path, TABLE_TEXT))).of_page(TABLE)
    assert {one.criterion for one in remarks if not one.earned} == {
        "table.heading-quantity",
        "table.cell-unit",
        "table.decimal-places",
    }


def test_hazards_typed_under_the_table_are_marked(tmp_path):
    hazards = "\nHazards,hazard 1,hot water\nHazards,risk 1,it can scald a hand\n"
    feedback = mark(read_work(file(tmp_path, TABLE_TEXT + hazards)))
    assert [one.earned for one in feedback.of_page("Hazards")] == [1, 1, 0, 0, 0, 0]


def test_only_the_pages_handed_in_are_marked(tmp_path):
    feedback = mark(read_work(file(tmp_path, TABLE_TEXT)))
    assert {one.page for one in feedback.remarks} == {TABLE}
    more = TABLE_TEXT + "\nhalf-range,0.5 cm\n"
    feedback = mark(read_work(file(tmp_path, more)))
    assert {one.page for one in feedback.remarks} == {TABLE, EVALUATION}
    assert {o.criterion: o.earned for o in feedback.remarks}[
        "evaluation.half-range"
    ] == 0  # 31 - 29
    assert Study(read_work(file(tmp_path, more))).named_c == 30


@pytest.mark.parametrize("separator", [",", ";", "\t"])
def test_answers_by_page_and_name_or_by_their_words(tmp_path, separator):
    words = ANSWERED[CONCLUSION, "shape"].words
    rows = [
        ["", ""],
        ["Conclusion", "gradient", "0.65 cm/°C"],
        ["", words, "straight"],
        ["energy", "Height before", "1.00 m"],
        ["height after", "0.30 m"],
        ["nobody asked", "this"],
    ]
    text = TABLE_TEXT.replace(",", separator) + "\n".join(separator.join(row) for row in rows)
    answers = read_work(file(tmp_path, text)).answers
    assert dict(answers) == {
        (CONCLUSION, "gradient"): "0.65 cm/°C",
        (CONCLUSION, "shape"): "straight",
        (ENERGY, "height before"): "1.00 m",
        (ENERGY, "height after"): "0.30 m",
    }


def test_title_lines_settings_and_an_indented_table(tmp_path):
    text = "Lunchtime club,,\nmass / g,23.2\ndrop height / m,0.80\n\n" + "".join(
        f",{line}\n" for line in TABLE_TEXT.splitlines()
    )
    work = read_work(file(tmp_path, text))
    assert (work.mass_g, work.drop_height_cm) == (23.2, 80.0)
    assert work.cells[0, 0] == "temp / °C"
    assert work.cells[3, 3] == "36.5"


def workbook(path, cells, answers=()):
    with xlsxwriter.Workbook(path) as book:
        sheet = book.add_worksheet("table")
        for (row, column), value in cells.items():
            sheet.write(row, column, value)
        if answers:
            other = book.add_worksheet("answers")
            for row, line in enumerate(answers):
                other.write_row(row, 0, line)
    return path


def test_a_workbook_with_numbers_earns_what_the_same_text_earns(tmp_path):
    right = right_work()
    cells = {
        (row, column): float(text) if row else text for (row, column), text in right.cells.items()
    }
    answers = [(page, question, text) for (page, question), text in right.answers.items()]
    work = read_work(workbook(tmp_path / "club.xlsx", cells, answers))
    assert work.cells[1, 6] == "23.6"
    assert work.cells[2, 6] == "30.2"
    assert work.cells[1, 1] == "24"
    assert dict(work.answers) == dict(right.answers)
    assert all(one.earned for one in mark(work).of_page(TABLE))


def test_numbers_of_a_workbook_share_their_places(tmp_path):
    cells = {(0, 0): "temperature / °C", (0, 1): "1", (0, 2): 2, (0, 3): "mean height / cm"}
    cells |= {(1, 0): 20, (1, 1): 23.5, (1, 2): 24, (1, 3): 23.75}
    work = read_work(workbook(tmp_path / "club.xlsx", cells))
    assert (work.cells[0, 2], work.cells[1, 1], work.cells[1, 2]) == ("2", "23.5", "24.0")


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("nothing,of use\n", "no results table"),
        ("temperature / °C,rebound height / cm\n", "no results table"),
        ("", "empty"),
        ("mass / g,heavy\n\n" + TABLE_TEXT, "mass"),
        ("drop height / cm,-5\n\n" + TABLE_TEXT, "drop height"),
        ('"temperature / °C,20\n1,2\n', "quotation marks"),
    ],
)
def test_what_cannot_be_read_is_refused_in_one_sentence(tmp_path, text, said):
    with pytest.raises(Refused) as refusal:
        read_work(file(tmp_path, text))
    sentence = str(refusal.value)
    assert said in sentence
    assert "larkmere.csv" in sentence
    assert "\n" not in sentence


@pytest.mark.parametrize("name", ["missing.csv", "picture.png"])
def test_files_that_are_none_are_refused(tmp_path, name):
    with pytest.raises(Refused):
        read_work(tmp_path / name)


def test_odd_cells_do_not_stop_the_marking(tmp_path):
    cells = {(0, 0): "temperature / °C", (0, 1): "height 1 / cm", (0, 2): "mean / cm"}
    cells |= {(1, 0): 20, (1, 1): True, (1, 2): 24.33333333333, (2, 0): 30, (2, 1): 1e300}
    cells |= {(3, 0): date(2026, 3, 1).isoformat(), (3, 1): "=1/0", (3, 2): "#REF!", (2, 2): 1}
    work = read_work(workbook(tmp_path / "odd.xlsx", cells))
    assert len(mark(work).of_page(TABLE)) == 6
    huge = replace(work, cells={**work.cells, (1, 1): "1e300", (2, 1): "nan", (3, 0): "inf"})
    assert len(mark(huge).of_page(TABLE)) == 6
