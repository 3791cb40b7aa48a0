"""Workbooks as they come: what they hold, as another reader sees it, and those made to do harm."""

import datetime
import subprocess
import sys
from pathlib import Path

import pytest
import python_calamine
import xlsxwriter

from analysis.readings.sheets import sheets
from tests.analysis.workbook_seeds import CONTENT, SEEDS, zipped

MOST_MB, MOST_S = 500, 5.0

RUN = """
import sys, time
from analysis.__main__ import main
try:
    import resource
except ImportError:
    resource = None
main(["good.csv", "--out", "warm"])
before = resource and resource.getrusage(resource.RUSAGE_SELF).ru_maxrss
slowest = 0.0
for name in sys.argv[1:]:
    begun = time.perf_counter()
    assert main([name]) == 1
    slowest = max(slowest, time.perf_counter() - begun)
after = resource and resource.getrusage(resource.RUSAGE_SELF).ru_maxrss
print(slowest, resource and (after - before) // (2**20 if sys.platform == "darwin" else 2**10))
"""


def test_a_workbook_made_to_do_harm_costs_one_sentence_and_neither_time_nor_memory(tmp_path):
    (tmp_path / "good.csv").write_text("temperature / °C,repeat 1 / cm\n20,23\n30,28\n40,33\n")
    for name, (content, _) in SEEDS.items():
        (tmp_path / name).write_bytes(content)
    environment = {"PYTHONPATH": str(Path(__file__).parents[2])}
    done = subprocess.run(
        [sys.executable, "-c", RUN, *SEEDS],
        cwd=tmp_path, env=environment, capture_output=True, text=True, check=False, timeout=120,
    )  # fmt: skip
    assert done.returncode == 0, done.stderr
    sentences = done.stderr.splitlines()
    assert len(sentences) == len(SEEDS)
    for (name, (_, said)), sentence in zip(SEEDS.items(), sentences, strict=True):
        assert name in sentence
        assert said in sentence
    slowest, more_mb = done.stdout.splitlines()[-1].split()
    assert float(slowest) < MOST_S
    assert more_mb == "None" or int(more_mb) < MOST_MB
    assert sorted(path.name for path in tmp_path.iterdir()) == sorted([*SEEDS, "good.csv", "warm"])


PEAK = """
import re, sys
from pathlib import Path
from analysis.__main__ import main
assert main([sys.argv[1]]) == 1
status = Path("/proc/self/status").read_text()
print(int(re.search(r"VmHWM:\\s*([0-9]+)", status)[1]) // 2**10)
"""
"""Its own peak: that of getrusage is the parent's too, where that was larger."""


@pytest.mark.skipif(sys.platform != "linux", reason="the peak is read as Linux tells it")
@pytest.mark.parametrize(
    "content",
    [
        "🎾" + "".join(f"{n:09d}," * 9 + "\n" for n in range(99_000)),  # just below the limits
        "".join(f"{n}," for n in range(100, 1_000)) * 8_800,
    ],
    ids=["as large as may be", "too many cells"],
)
def test_a_csv_takes_no_more_than_500_mb_with_the_whole_program(tmp_path, content):
    (tmp_path / "large.csv").write_text(content, encoding="utf-8")
    done = subprocess.run(
        [sys.executable, "-c", PEAK, "large.csv"],
        cwd=tmp_path, env={"PYTHONPATH": str(Path(__file__).parents[2])},
        capture_output=True, text=True, check=True, timeout=120,
    )  # fmt: skip
    assert done.stderr.count("\n") == 1
    assert int(done.stdout) < MOST_MB


def every_kind_xlsx(path):
    with xlsxwriter.Workbook(path) as book:
        page = book.add_worksheet("kinds & more")
        shown = {
            kind: book.add_format({"num_format": kind})
            for kind in ("yyyy-mm-dd", "hh:mm:ss", "dd/mm/yy hh:mm", "[h]:mm:ss", "0.0%")
        }
        page.write_row(0, 0, ["x", 1, 1.5, True, False, "  spaces  ", "two\nlines", "_x000D_ & <"])
        day = datetime.datetime(2024, 5, 3)
        page.write_datetime(1, 0, day, shown["yyyy-mm-dd"])
        page.write_datetime(1, 1, day.replace(hour=12, minute=30), shown["dd/mm/yy hh:mm"])
        page.write_number(1, 2, 0.5, shown["hh:mm:ss"])
        page.write_number(1, 3, 1.25, shown["[h]:mm:ss"])
        page.write_number(1, 4, 0.5, shown["0.0%"])
        page.write_number(1, 5, 2, book.add_format({"num_format": '0.0 "days"'}))
        page.write_number(1, 6, 3, book.add_format({"num_format": "[Red]0.00"}))
        page.write_formula(3, 1, "=1/0", None, "#DIV/0!")
        page.write_formula(3, 2, '="a"', None, "abc")
        bold = book.add_format({"bold": True})
        page.write_rich_string(4, 4, bold, "rich ", "text")
        page.merge_range(5, 0, 5, 2, "merged")
        page.write_comment(0, 0, "a note is no value")
        book.add_worksheet("hidden").hide()


KINDS_ODS = """
<table:table-row table:number-rows-repeated="3"/>
<table:table-row>
<table:table-cell office:value-type="float" office:value="1.5"><text:p>1.50</text:p></table:table-cell>
<table:table-cell office:value-type="percentage" office:value="0.5"><text:p>50 %</text:p></table:table-cell>
<table:table-cell office:value-type="boolean" office:boolean-value="true"><text:p>TRUE</text:p></table:table-cell>
<table:table-cell office:value-type="date" office:date-value="2024-05-03T12:30:00"><text:p>3.5.24</text:p></table:table-cell>
<table:table-cell office:value-type="time" office:time-value="PT12H30M00S"><text:p>12:30</text:p></table:table-cell>
<table:table-cell office:value-type="string"><text:p>one</text:p><text:p>two</text:p></table:table-cell>
<table:table-cell office:value-type="string"><text:p/><text:p>a<text:s text:c="3"/><text:span>b</text:span></text:p></table:table-cell>
<table:table-cell table:number-columns-repeated="3"/>
<table:table-cell table:number-columns-repeated="2" office:value-type="float" office:value="7"><text:p>7</text:p></table:table-cell>
<table:covered-table-cell/>
<table:table-cell office:value-type="float" office:value="8"><text:p>8</text:p></table:table-cell>
</table:table-row>
<table:table-row table:number-rows-repeated="1048000"/>
"""  # noqa: E501 (a cell a line)


def every_kind_ods(path):
    kind = "application/vnd.oasis.opendocument.spreadsheet"
    rows = KINDS_ODS.replace("\n", "")
    parts = {"mimetype": kind, "META-INF/manifest.xml": "<manifest/>"}
    path.write_bytes(zipped({**parts, "content.xml": CONTENT.format(rows)}))


def as_cell(value):
    if isinstance(value, bool):
        return "yes" if value else "no"
    return float(value) if isinstance(value, int | float) else str(value)


@pytest.mark.parametrize("make", [every_kind_xlsx, every_kind_ods])
def test_cells_are_what_another_reader_finds_in_them(tmp_path, make):
    """Source: python-calamine, a reader of workbooks of its own."""
    path = tmp_path / f"kinds.{make.__name__[-4:].strip('_')}"
    make(path)
    book = python_calamine.load_workbook(path)
    ours = list(sheets(path))
    assert [sheet.name for sheet in ours] == book.sheet_names
    for sheet in ours:
        theirs = book.get_sheet_by_name(sheet.name)
        rows = theirs.to_python(skip_empty_area=False) if theirs.height else []
        width = max((len(row) for row in [*rows, *sheet.rows]), default=0)
        assert len(sheet.rows) == len(rows)
        for our, their in zip(sheet.rows, rows, strict=True):
            blank = [""] * width
            assert (our + blank)[:width] == (list(map(as_cell, their)) + blank)[:width]
