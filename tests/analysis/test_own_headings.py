"""The headings of our own reports, summaries and readings files are understood on the way in."""

import csv
import re
import shutil
from html import unescape

import pytest

from analysis.__main__ import main
from analysis.quantity.headings import (
    HALF_RANGE,
    NO_READINGS,
    REBOUND_HEIGHT,
    own_heading,
    read_heading,
)
from analysis.readings.readings import read_readings
from sim.__main__ import main as sim_main

READINGS = """\
temperature / °C,rebound height 1 / cm,rebound height 2 / cm,rebound height 3 / cm
20,24,25,24
30,30,31,32
40,36,37,37
50,43,44,43
"""
FIGURES = "temperature / °C,repeat 1 / cm,repeat 2 / cm,mean / cm,range / cm,half-range / cm\n"


@pytest.fixture(scope="module")
def analysed(tmp_path_factory):
    folder = tmp_path_factory.mktemp("analysed")
    (folder / "ours.csv").write_text(READINGS, encoding="utf-8")
    out = str(folder / "ours-analysis")
    assert main([str(folder / "ours.csv"), "--mass-g", "24", "--out", out]) == 0
    return folder


@pytest.fixture
def here(analysed, tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    return shutil.copytree(analysed, tmp_path, dirs_exist_ok=True)


def report_tables(here):
    """Each table of the report as rows of cells, the headings first."""
    html = (here / "ours-analysis" / "report.html").read_text(encoding="utf-8")
    for table in re.findall(r"<table.*?</table>", html, re.DOTALL):
        rows = re.findall(r"<tr.*?</tr>", table, re.DOTALL)
        yield [
            [unescape(re.sub(r"<.*?>", "", cell)) for cell in re.findall(r"<t[hd].*?</t[hd]>", row)]
            for row in rows
        ]


def written(here, name, rows):
    with (here / name).open("w", newline="", encoding="utf-8") as file:
        csv.writer(file).writerows(rows)
    return str(here / name)


def test_the_results_table_of_our_own_report_earns_every_mark(here, capsys):
    results = next(report_tables(here))
    assert read_heading(results[0][-1]).quantity == HALF_RANGE
    assert main(["mark", written(here, "theirs.csv", results)]) == 0
    assert "Results table: 6 of 6" in capsys.readouterr().out


def test_the_results_table_of_our_own_report_is_read_without_a_remark(here):
    results = next(report_tables(here))
    notices = read_readings(written(here, "theirs.csv", results)).notices
    assert notices == ("No drop height is given; 1.000 m is taken.",)


def test_every_heading_of_our_own_tables_is_known_and_none_is_a_reading_but_readings(here):
    heads = {head for table in report_tables(here) for head in table[0]}
    with (here / "ours-analysis" / "summary.csv").open(encoding="utf-8-sig", newline="") as file:
        heads |= set(next(csv.reader(file)))
    assert len(heads) > 15
    heads -= {"readings"}  # over one column it counts them, over several it may head them all
    unknown = {head for head in heads if not read_heading(head).quantity}
    assert not unknown
    heights = {head for head in heads if read_heading(head).quantity == REBOUND_HEIGHT}
    assert all(read_heading(head).number for head in heights)


@pytest.mark.parametrize("name", ["readings.csv", "readings.xlsx"])
def test_the_readings_of_a_scripted_practical_can_be_marked(tmp_path, monkeypatch, capsys, name):
    monkeypatch.chdir(tmp_path)
    assert sim_main(["perform", "--seed", "3", "--out", "practical"]) == 0
    assert main(["mark", f"practical/{name}", "--out", "feedback.html"]) == 0
    said = capsys.readouterr()
    assert said.err == ""
    # It has no means: their criteria alone are missing.
    assert "Results table: 4 of 6" in said.out


@pytest.mark.parametrize(
    ("row", "said"),
    [
        ("20,24,27,25.5,3,1.5", ""),
        ("20,24,27,25.5,2,1.5", "the range given, 2 cm, is not the range of the readings, 3 cm"),
        ("20,24,27,25.5,3,3", "the half-range given, 3 cm, is not the half-range of the readings"),
        ("20,24,27,26.5,3,1.5", "the mean given, 26.5 cm, is not the mean of the readings"),
    ],
)
def test_what_a_table_works_out_is_checked(here, row, said):
    (here / "theirs.csv").write_text(FIGURES + row + "\n", encoding="utf-8")
    found = [one for one in read_readings(here / "theirs.csv").notices if "given, " in one]
    assert len(found) == bool(said)
    assert all(said in one for one in found)


def test_figures_in_a_students_own_words_are_no_readings(here, capsys):
    heads = READINGS.replace("\n", ",range of rebound (cm),uncertainty in the mean / cm\n", 1)
    rows = heads.replace("24\n", "24,1,0.5\n").replace("37\n", "37,1,0.5\n")
    (here / "theirs.csv").write_text(rows, encoding="utf-8")
    assert main(["mark", "theirs.csv"]) == 0
    assert "Results table: 4 of 6" in capsys.readouterr().out  # there are no means


def test_two_columns_of_uncertainties_are_passed_over(here):
    text = READINGS.replace("\n", ",1,0.5\n").replace(
        ",1,0.5", ",uncertainty / cm,uncertainty in the mean (cm)", 1
    )
    (here / "theirs.csv").write_text(text, encoding="utf-8")
    readings = read_readings(here / "theirs.csv")
    assert len(readings.frame) == 12
    assert readings.notices == ("No drop height is given; 1.000 m is taken.",)


@pytest.mark.parametrize(
    "text",
    [
        *("± / cm", "uncertainty ±cm", "uncertainty (± cm)", "half range (cm)", "error (±)"),
        *("+/- cm", "+- / cm", "uncertainty in mean / cm", "abs. uncertainty", "max-min/2"),
        *("(max - min)/2 / cm", "½ range (cm)", "range ÷ 2", "% error", "height 1 ± / cm"),
    ],
)
def test_an_uncertainty_by_any_of_its_names_is_never_a_reading(here, text):
    assert read_heading(text).quantity in NO_READINGS
    assert own_heading(text).role == "other"
    (here / "theirs.csv").write_text(READINGS.replace("\n", ",0.5\n").replace("0.5", text, 1))
    assert len(read_readings(here / "theirs.csv").frame) == 12


@pytest.mark.parametrize(
    "text", ["Temperature / °C ± 0.5", "Temperature (± 0.5 °C)", "Temp. (oC) +/-0.5", "temp °C"]
)
def test_a_tolerance_behind_a_heading_is_no_part_of_it(here, text):
    (here / "theirs.csv").write_text(READINGS.replace("temperature / °C", text))
    assert len(read_readings(here / "theirs.csv").frame) == 12
