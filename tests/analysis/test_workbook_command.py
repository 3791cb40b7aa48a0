"""`python -m analysis paper`: what it writes, what it refuses, and that it slows nothing else."""

import subprocess
import sys
from io import BytesIO

import pytest
from pypdf import PdfReader

from analysis.__main__ import main


@pytest.fixture
def here(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    return tmp_path


def names(folder):
    return sorted(path.name for path in folder.iterdir())


def test_the_workbook_is_written_as_html_and_pdf(here, capsys):
    assert main(["paper"]) == 0
    assert names(here / "workbook") == ["workbook.html", "workbook.pdf"]
    assert (here / "workbook" / "workbook.html").read_text("utf-8").startswith("<!DOCTYPE html>")
    out, err = capsys.readouterr()
    assert "workbook.pdf" in out
    assert "100 %" in out
    assert err == ""


def test_nothing_is_overwritten_without_force(here, capsys):
    (here / "workbook").mkdir()
    (here / "workbook" / "workbook.pdf").write_text("a teacher's own notes", encoding="utf-8")
    assert main(["paper"]) == 1
    assert names(here / "workbook") == ["workbook.pdf"]
    assert (here / "workbook" / "workbook.pdf").read_text("utf-8") == "a teacher's own notes"
    err = capsys.readouterr().err
    assert "--force" in err
    assert len(err.splitlines()) == 1


def test_the_plan_reaches_the_pages_and_force_overwrites(here):
    (here / "x").mkdir()
    (here / "x" / "workbook.html").write_text("old", encoding="utf-8")
    plan = ["--temperatures", "10", "--repeats", "10", "--name-line"]
    assert main(["paper", *plan, "--out", "x", "--force"]) == 0
    html = (here / "x" / "workbook.html").read_text("utf-8")
    assert html.count("struck out because") == 4
    assert html.count(">Name<") == 17
    assert len(PdfReader(BytesIO((here / "x" / "workbook.pdf").read_bytes())).pages) == 17


@pytest.mark.parametrize(
    "wrong",
    [["--repeats", "0"], ["--repeats", "11"], ["--temperatures", "1"], ["--temperatures", "five"],
     ["--temperatures", "5.0"], ["--repeats", "٣"], ["club.csv"]],
)  # fmt: skip
def test_wrong_usage_is_said_and_writes_nothing(wrong, here, capsys):
    with pytest.raises(SystemExit) as stopped:
        main(["paper", *wrong])
    assert stopped.value.code == 2
    assert wrong[-1] in capsys.readouterr().err
    assert names(here) == []


def test_a_file_called_paper_is_still_read_as_a_file(here, capsys):
    (here / "paper").write_text("temperature / °C\n", encoding="utf-8")
    assert main(["./paper"]) == 1
    assert "paper" in capsys.readouterr().err
    assert names(here) == ["paper"]


def test_help_names_the_command(capsys):
    with pytest.raises(SystemExit):
        main(["--help"])
    assert "paper" in capsys.readouterr().out


def test_analysing_files_loads_nothing_of_the_workbook():
    script = (
        "import sys, analysis.__main__; "
        "print([m for m in sys.modules if m.startswith(('analysis.workbook', 'fpdf', 'numpy'))])"
    )
    run = [sys.executable, "-c", script]
    assert subprocess.run(run, check=True, capture_output=True, text=True).stdout.strip() == "[]"
