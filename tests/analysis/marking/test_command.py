"""`python -m analysis mark FILE`, and that nudges never hold what the worked step gives."""

import pytest

from analysis.__main__ import main

TABLE_TEXT = (
    "temperature / °C,rebound height 1 / cm,rebound height 2 / cm,mean / cm\n"
    "20,24,24,24\n30,31,29,32\n40,37,37,37\n"
)


@pytest.fixture
def here(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    (tmp_path / "club.csv").write_text(TABLE_TEXT, encoding="utf-8")
    return tmp_path


def test_feedback_is_written_and_the_marks_are_said(here, capsys):
    assert main(["mark", "club.csv"]) == 0
    out, err = capsys.readouterr()
    assert err == ""
    assert "Results table: 5 of 6" in out
    html = (here / "club-feedback.html").read_text(encoding="utf-8")
    assert "does not follow from its readings" in html
    assert "(31 + 29)" not in html


def test_the_second_try_shows_the_worked_step(here):
    assert main(["mark", "club.csv", "--second-try", "--out", "again.html"]) == 0
    assert "(31 + 29)" in (here / "again.html").read_text(encoding="utf-8")


def test_nothing_is_overwritten_unasked(here, capsys):
    (here / "club-feedback.html").write_text("mine", encoding="utf-8")
    assert main(["mark", "club.csv"]) == 1
    assert "--force" in capsys.readouterr().err
    assert (here / "club-feedback.html").read_text(encoding="utf-8") == "mine"
    assert main(["mark", "club.csv", "--force"]) == 0
    assert "Feedback" in (here / "club-feedback.html").read_text(encoding="utf-8")


def test_a_refusal_is_one_sentence_and_leaves_nothing(here, capsys):
    (here / "bad.csv").write_text("of no use\n", encoding="utf-8")
    assert main(["mark", "bad.csv"]) == 1
    assert len(capsys.readouterr().err.splitlines()) == 1
    assert not (here / "bad-feedback.html").exists()


def test_a_file_called_mark_is_still_analysed(here):
    (here / "mark").mkdir()
    assert main(["./mark"]) == 1  # a folder is no readings file, but it was taken for a file


def test_wrong_usage_is_told_apart(here):
    with pytest.raises(SystemExit) as stop:
        main(["mark"])
    assert stop.value.code == 2
