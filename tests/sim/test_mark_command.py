"""`python -m sim mark RECORD`: the feedback on a practical record as one HTML page."""

from functools import reduce

import pytest

from analysis.marking.mark import mark
from analysis.marking.work import Verdict
from physics.reading import CAREFUL
from sim import actions as act
from sim.__main__ import main
from sim.marking import work_of
from sim.practical import apply
from sim.procedure import Procedure
from sim.record.replay import read_record
from sim.student import perform
from tests.bookwork import book_actions
from tests.sim.recorded import SETUP, write

DONE = perform(SETUP, Procedure(observer=CAREFUL))
BOOK = book_actions(DONE.end)


@pytest.fixture(scope="module")
def record(tmp_path_factory):
    path = tmp_path_factory.mktemp("marked") / "ours.rebound.jsonl"
    return write(path, (*DONE.actions, *BOOK), label="Larkmere Vale <lunchtime>")


def test_a_full_book_is_marked_from_its_record(record, capsys):
    assert main(["mark", str(record)]) == 0
    said = capsys.readouterr()
    assert said.err == ""
    assert "62 of 62 marks; 0 for the teacher to judge" in said.out
    page = record.with_name("ours.rebound.feedback.html").read_text(encoding="utf-8")
    assert page.startswith("<!DOCTYPE html>") or page.startswith("<!doctype html>")
    assert "Larkmere Vale &lt;lunchtime&gt;" in page


def test_the_record_is_the_same_after_as_before(record, tmp_path):
    before = record.read_bytes()
    assert main(["mark", str(record), "--out", str(tmp_path / "a.html")]) == 0
    assert record.read_bytes() == before
    end = reduce(apply, BOOK, DONE.end)
    assert read_record(record).end == end


def test_nothing_is_written_over_unasked(record, tmp_path, capsys):
    out = tmp_path / "feedback.html"
    out.write_text("mine")
    assert main(["mark", str(record), "--out", str(out)]) == 1
    assert "--force" in capsys.readouterr().err
    assert out.read_text() == "mine"
    assert main(["mark", str(record), "--out", str(out), "--force"]) == 0
    assert "mine" not in out.read_text(encoding="utf-8")[:4]


def test_the_record_itself_is_never_written_over(record, capsys):
    before = record.read_bytes()
    assert main(["mark", str(record), "--out", str(record), "--force"]) == 1
    assert "the record itself" in capsys.readouterr().err
    assert record.read_bytes() == before


def test_what_is_no_record_is_refused_in_a_sentence(tmp_path, capsys):
    path = tmp_path / "x.rebound.jsonl"
    path.write_text("nonsense\n")
    assert main(["mark", str(path)]) == 1
    assert "Line 1" in capsys.readouterr().err
    assert main(["mark", str(tmp_path / "none.rebound.jsonl")]) == 1
    assert list(tmp_path.iterdir()) == [path]


@pytest.mark.parametrize("command", ["mark", "readings"])
def test_a_folder_is_no_record_and_is_named(command, capsys):
    assert main([command, "."]) == 1
    said = capsys.readouterr().err
    assert said == ". is not a file: name a practical record, .rebound.jsonl at its end.\n"


def test_the_worked_step_is_shown_only_after_a_second_try(tmp_path):
    pages = []
    for tries in (1, 2):
        spoilt = act.WriteAnswer("Conclusion", "gradient", "17 cm/°C")
        asked = [act.AskForFeedback("Conclusion")] * tries
        path = write(
            tmp_path / f"{tries}.rebound.jsonl", (*DONE.actions, *BOOK, spoilt, *asked), SETUP
        )
        out = tmp_path / f"{tries}.html"
        assert main(["mark", str(path), "--out", str(out)]) == 0
        pages.append(out.read_text(encoding="utf-8"))
    remarks = mark(work_of(read_record(path).end)).of_page("Conclusion")
    (worked,) = [r.worked for r in remarks if r.verdict is Verdict.WRONG]
    start = worked.split(" ")[0:3]
    assert " ".join(start) not in pages[0]
    assert " ".join(start) in pages[1]


def test_a_torn_record_is_marked_as_far_as_it_goes(record, tmp_path, capsys):
    torn = tmp_path / "torn.rebound.jsonl"
    torn.write_bytes(record.read_bytes()[:-20])
    assert main(["mark", str(torn)]) == 0
    said = capsys.readouterr()
    assert "not written to its end" in said.err
    assert "of 62 marks" in said.out
