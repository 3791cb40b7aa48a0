"""The command line: what it writes, what it refuses, and that nothing is left half done."""

import json
import os
import re
import subprocess
import sys
from pathlib import Path

import pytest

from analysis.__main__ import main
from analysis.files import written
from analysis.refusal import Refused


@pytest.fixture
def here(tmp_path, monkeypatch):
    """Run in a folder of the test's own, which is what the command writes to by default."""
    folder = tmp_path / "here"
    folder.mkdir()
    monkeypatch.chdir(folder)
    return folder


def names(folder):
    return sorted(path.name for path in folder.iterdir())


def test_table_graph_and_report_are_written_beside_nothing_else(club_file, here, capsys):
    assert main([str(club_file)]) == 0
    assert names(here) == ["club-analysis"]
    assert names(here / "club-analysis") == ["graph.png", "report.html", "summary.csv"]
    out, err = capsys.readouterr()
    assert err == ""
    assert "As the temperature of the ball increases" in out
    assert str(Path("club-analysis") / "report.html") in out
    assert re.search(r"40 +5 +33\.2 +8\.5 +25\.6", out)


def test_pdf_and_svg_come_when_asked_for(club_file, here):
    assert main([str(club_file), "--pdf", "--svg", "--out", "results/mine"]) == 0
    assert names(here / "results" / "mine") == [
        "graph.pdf",
        "graph.png",
        "graph.svg",
        "report.html",
        "report.pdf",
        "summary.csv",
    ]


def test_json_is_one_document_on_stdout_and_nothing_else(club_file, here, capsys):
    assert main([str(club_file), "--json", "--mass-g", "23.2"]) == 0
    found = json.loads(capsys.readouterr().out)
    assert found["source"] == "club.csv"
    assert found["energy"]["mass"] == {"value": 23.2, "unit": "g"}
    assert found["energy"]["mass_assumed"] is False
    assert len(found["files"]) == 3
    assert all((here / name).is_file() for name in found["files"])


def test_several_files_get_a_folder_each_and_a_list_in_json(club_file, here, capsys):
    other = club_file.with_name("second.csv")
    other.write_bytes(club_file.read_bytes())
    assert main([str(club_file), str(other), "--json", "--out", "both"]) == 0
    assert [entry["source"] for entry in json.loads(capsys.readouterr().out)] == [
        "club.csv",
        "second.csv",
    ]
    assert names(here / "both") == ["club-analysis", "second-analysis"]


def test_one_bad_file_does_not_stop_the_others(club_file, here, capsys):
    bad = club_file.with_name("bad.csv")
    bad.write_text("nothing of use\n1\n", encoding="utf-8")
    assert main([str(bad), "missing.csv", str(club_file)]) == 1
    out, err = capsys.readouterr()
    assert len(err.splitlines()) == 2
    assert "bad.csv" in err
    assert "missing.csv" in err
    assert "Traceback" not in err
    assert names(here) == ["club-analysis"]
    assert "club.csv" in out


def test_a_refused_file_prints_no_json(here, capsys):
    assert main(["missing.csv", "--json"]) == 1
    out, err = capsys.readouterr()
    assert out == ""
    assert len(err.splitlines()) == 1


def test_nothing_is_overwritten_without_force(club_file, here, capsys):
    assert main([str(club_file)]) == 0
    table = here / "club-analysis" / "summary.csv"
    table.write_text("the student's own notes", encoding="utf-8")
    assert main([str(club_file)]) == 1
    assert table.read_text(encoding="utf-8") == "the student's own notes"
    err = capsys.readouterr().err
    assert "--force" in err
    assert len(err.splitlines()) == 1
    assert main([str(club_file), "--force"]) == 0
    assert "temperature / °C" in table.read_text(encoding="utf-8-sig")


def test_a_file_in_the_place_of_the_folder_is_refused(club_file, here, capsys):
    (here / "club-analysis").write_text("", encoding="utf-8")
    assert main([str(club_file)]) == 1
    assert "is a file, not a folder" in capsys.readouterr().err


def test_a_folder_that_cannot_be_made_is_one_sentence(club_file, here, capsys):
    (here / "taken").write_text("", encoding="utf-8")
    assert main([str(club_file), "--out", "taken/inside"]) == 1
    err = capsys.readouterr().err
    assert len(err.splitlines()) == 1
    assert "cannot be written" in err


@pytest.mark.parametrize("before", [True, False])
def test_a_disk_that_fills_up_leaves_nothing_behind(before, tmp_path, monkeypatch):
    folder = tmp_path / "new" / "folder"
    if before:
        folder.mkdir(parents=True)
        (folder / "kept.txt").write_text("kept", encoding="utf-8")
    real = Path.open

    def full(self, *mode):
        if self.name == "second":
            raise OSError(28, os.strerror(28))
        return real(self, *mode)

    monkeypatch.setattr(Path, "open", full)
    with pytest.raises(Refused, match=r"cannot be written \(the disk is full\)"):
        written(folder, {"first": b"1", "second": b"2"}, force=False)
    assert (names(folder) == ["kept.txt"]) if before else (names(tmp_path) == [])


def test_files_that_were_written_are_given_back(tmp_path):
    targets = written(tmp_path / "out", {"a": b"1", "b": b"2"}, force=False)
    assert [target.read_bytes() for target in targets] == [b"1", b"2"]
    assert names(tmp_path / "out") == ["a", "b"]


@pytest.mark.parametrize(
    "arguments",
    [[], ["--mass-g", "0", "x.csv"], ["--mass-g", "24", "--weight-n", "0.2", "x.csv"], ["--no"]],
)
def test_wrong_usage_ends_with_2(arguments, capsys):
    with pytest.raises(SystemExit) as ended:
        main(arguments)
    assert ended.value.code == 2
    assert "usage: python -m analysis" in capsys.readouterr().err


def test_two_files_of_one_name_are_not_poured_into_one_folder(club_file, here, capsys):
    with pytest.raises(SystemExit) as ended:
        main([str(club_file), str(club_file)])
    assert ended.value.code == 2
    assert "share the folder" in capsys.readouterr().err


@pytest.mark.parametrize(
    ("name", "rows", "unsaid"),
    [
        ("one repeat", "20,24\n40,36\n60,48\n", "one reading has no spread"),
        ("one temperature", "20,24\n20,25\n", "two temperatures"),
        ("all equal", "20,24\n20,24\n40,36\n40,36\n", "All the repeats agree"),
        ("no change", "20,24\n30,24\n40,24\n", "one reading has no spread"),
        ("at zero", "20,0\n40,0\n60,0\n", "one reading has no spread"),
    ],
)
def test_what_can_be_analysed_is_and_the_rest_is_explained(name, rows, unsaid, here, capsys):
    path = here / f"{name}.csv"
    path.write_text("temperature / °C,rebound height / cm\n" + rows, encoding="utf-8")
    assert main([str(path)]) == 0
    out, err = capsys.readouterr()
    assert err == ""
    assert unsaid.lower() in out.lower()
    assert (here / f"{name}-analysis" / "report.html").stat().st_size > 10_000


@pytest.mark.parametrize("count", [10_000, pytest.param(100_000, marks=pytest.mark.slow)])
def test_very_many_rows_are_taken_in_stride(here, capsys, count):
    rows = [f"{20 + n % 5 * 10},{24 + n % 5 * 6 + n % 7 % 3}" for n in range(count)]
    path = here / "many.csv"
    path.write_text("\n".join(["temperature / °C,rebound height / cm", *rows]), encoding="utf-8")
    assert main([str(path)]) == 0
    assert (here / "many-analysis" / "report.html").stat().st_size < 200_000


@pytest.mark.skipif(sys.platform == "win32", reason="uses a POSIX pipe")
def test_the_module_runs_as_a_program_and_a_reader_that_hangs_up_is_no_trouble(club_file, tmp_path):
    read_end, write_end = os.pipe()
    os.close(read_end)
    command = [sys.executable, "-m", "analysis", str(club_file), "--out", str(tmp_path / "out")]
    done = subprocess.run(command, stdout=write_end, stderr=subprocess.PIPE, text=True, check=False)
    os.close(write_end)
    assert (done.returncode, done.stderr) == (0, "")
    assert names(tmp_path / "out") == ["graph.png", "report.html", "summary.csv"]
