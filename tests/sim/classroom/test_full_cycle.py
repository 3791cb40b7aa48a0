"""From a names file to the class page: 30 scripted pupils, ten planted faults, two copies."""

import re

import pytest

from analysis.marking.work import Verdict
from sim.__main__ import main
from sim.classroom.class_key import handed_in, read_key
from sim.classroom.class_work import COPY
from sim.classroom.examine import Examiner
from sim.commands.collect import class_page, collected
from tests.sim.classroom.conftest import CLUB
from tests.sim.classroom.pupils import FAULTS, hand_in, wrong_criteria


def held_against_what_was_planted(work, planted):
    wrong = {student.student: wrong_criteria(student) for student in work.students}
    for number, criterion in planted.planted.items():
        assert criterion in wrong[number], (number, criterion)
    for number, found in wrong.items():
        if number not in planted.planted:
            assert not found & set(FAULTS), (number, found)
    assert {(pair.first, pair.second) for pair in work.copies} == planted.copies


def test_every_planted_fault_and_both_copies_are_found_and_nobody_else_is_named(club, club_work):
    held_against_what_was_planted(club_work, club[1])
    accused = {one.student for one in club_work.to_see if one.what == COPY}
    assert accused == {12, 13, 14, 15}
    assert all("accuses nobody" in one.why for one in club_work.to_see if one.what == COPY)


@pytest.mark.slow
@pytest.mark.parametrize("seed", range(2, 22))
def test_the_same_holds_of_twenty_other_classes(seed, tmp_path, make_key):
    key = make_key(seed)
    planted = hand_in(key, tmp_path)
    held_against_what_was_planted(collected(Examiner(key), handed_in(tmp_path)), planted)


def test_whose_file_was_copied_shows_where_the_drops_tell(club_work):
    (pair,) = [one for one in club_work.copies if one.first == 14]
    assert pair.why.startswith("25 of 25 readings are the same, drop for drop: more alike")


def test_from_a_names_file_to_the_class_page_by_the_commands(key, club, tmp_path, capsys):
    names = tmp_path / "names.csv"
    names.write_text("name\n" + "\n".join(CLUB), encoding="utf-8")
    given, out = tmp_path / "set", tmp_path / "results"
    classset = ["classset", str(names), "--out", str(given), "--no-sheets", "--seed", "1"]
    assert main(classset) == 0
    key_file = given / "teacher only" / "key.json"
    assert read_key(key_file) == key  # so what the club handed in is what this set gave out
    collect = ["collect", str(club[0]), "--key", str(key_file), "--out", str(out)]
    assert main(collect) == 0
    said = capsys.readouterr().out
    assert "29 of 30 practicals marked." in said
    assert "Practical 12 (Larkmere Pupil 12) and 13 (Larkmere Pupil 13)" in said
    assert "Practical 14 (Larkmere Pupil 14) and 15 (Larkmere Pupil 15)" in said
    page = (out / "class.html").read_text(encoding="utf-8")
    # What a pupil wrote is quoted; of a graph the feedback's words are told, as its own.
    quotes = re.findall("<blockquote>(.*?)</blockquote>", page)
    assert [one.replace("\u00a0", " ") for one in quotes] == ["h / cm", "temperature"]
    assert page.count("The feedback says: ") == 3
    assert len(list((out / "feedback").iterdir())) == 29
    one = next(out.glob("feedback/10 *")).read_text(encoding="utf-8")
    assert "practical 10, Larkmere Pupil 10" in one
    assert (out / "class.xlsx").stat().st_size > 5000


def test_the_class_page_names_nobody_and_fetches_nothing(club_work):
    page = class_page(club_work)
    assert not any(name in page for name in CLUB)
    assert "Pupil" not in page
    outside = [part for part in page.split('"') if part.startswith(("http", "//"))]
    assert all(part.startswith("http://www.w3.org/") for part in outside)
    assert "<script" not in page


def test_the_counts_on_the_class_page_are_those_of_the_class(club_work):
    right = sum(
        r.verdict is Verdict.RIGHT and r.criterion == "conclusion.relationship"
        for s in club_work.students
        for r in s.feedback.remarks
    )
    page = class_page(club_work)
    row = page[page.index("Says which way the rebound height changes") :]
    assert right == 28
    assert row.index(f"<td>{right}</td>") < row.index("</tr>")
