"""The teacher sees every answer in full, judges it once, and the word holds at every collecting."""

import csv
import re
from html import unescape

import pytest

from analysis.marking.questions import ANSWERED, ENERGY, HAZARDS, METHOD
from analysis.marking.sentences.criteria import load
from analysis.marking.work import Verdict
from sim.classroom.answers import AUDITED, TO_JUDGE
from sim.classroom.class_key import handed_in, key_bytes, record_name
from sim.classroom.class_work import JUDGE
from sim.classroom.corrections import (
    Correction,
    SameAnswers,
    keep_corrections,
    read_corrections,
    student_list,
    student_runs,
)
from sim.classroom.examine import Examiner
from sim.commands.collect import class_page, class_workbook, collected
from tests.analysis.marking.right_work import with_answers, with_cells, with_graph
from tests.sim.classroom.collecting import (
    collect,
    judge_in_workbook,
    listed,
    marks_of,
    sheet_of,
    texts,
)
from tests.sim.classroom.pupils import bench, record_bytes, with_book
from tests.sim.classroom.written_class import answers_at_random, writes

NAMES = ("Ada", "Bo", "Cy", "Dee", "Eve", "Flo")
LEFT = "Something might come off it, " + "and then, well, " * 20 + "one would not like it."
REASON = (METHOD, "reason 1")
SAME = {1: "Its just how it is done", 2: "its JUST how it was done.", 3: "It isn't how it is done"}
"""The first two are one answer; the third is not, for it denies it."""


def written_by(number):
    answers = answers_at_random(1, number)
    if number in SAME:
        answers |= {(METHOD, "control variable 1"): "the drop height", REASON: SAME[number]}
    if number == 4:
        answers |= {(HAZARDS, "hazard 1"): "hot water", (HAZARDS, "risk 1"): LEFT}
    return answers


@pytest.fixture(scope="module")
def six(make_key):
    return make_key(5, NAMES)


@pytest.fixture(scope="module")
def records(six):
    return {n: record_bytes(writes(bench(six, n), written_by(n))) for n in range(1, 7)}


@pytest.fixture
def handed(six, records, tmp_path):
    folder = tmp_path / "in"
    folder.mkdir()
    for number, content in records.items():
        (folder / record_name(six, number)).write_bytes(content)
    (tmp_path / "key.json").write_bytes(key_bytes(six))
    return folder


@pytest.fixture(scope="module")
def work(six, records, tmp_path_factory):
    folder = tmp_path_factory.mktemp("six")
    for number, content in records.items():
        (folder / record_name(six, number)).write_bytes(content)
    return collected(Examiner(six), handed_in(folder))


def test_every_left_and_every_credited_answer_stands_in_full_beside_its_question(work, tmp_path):
    (tmp_path / "class.xlsx").write_bytes(class_workbook(work))
    rows = sheet_of(tmp_path / "class.xlsx")
    on_sheet = {(n, one["criterion"]): one for one in rows for n in listed(one["student"])}
    on_page = " ".join(texts(class_page(work)))
    same = SameAnswers(load().vocabulary)
    seen = 0
    for student in work.students:
        written = written_by(student.student)
        for remark in student.feedback.remarks:
            asked = (remark.page, remark.of.question)
            left, credited = remark.verdict is Verdict.TEACHER, remark.verdict.earns
            if asked not in written or not (left or credited):
                continue
            seen += 1
            row = on_sheet[student.student, remark.criterion]
            assert row["question"] == ANSWERED[asked].words
            assert row["place"] == ", ".join(asked)
            assert same.wording(row["answer"]) == same.wording(written[asked])
            earlier = ANSWERED[asked].builds_on
            base = "; ".join(f"{name}: {written[remark.page, name]}" for name in earlier)
            assert same.wording(row["builds on"]) == same.wording(base)
            assert row["program"].startswith("left" if left else "credited")
            assert row["program's guess"] == (remark.guess or "")
            assert f"{row['place']}: {row['question']}" in on_page
            assert " ".join(str(row["answer"]).split()) in on_page
    assert seen > 60


def test_a_long_answer_is_no_scrap_on_page_sheet_list_or_feedback(work, handed):
    left = {one.words: one.why for one in work.to_see if one.what == JUDGE and one.student == 4}
    assert left[LEFT].startswith("What could happen (risk) It builds on hazard 1: hot water. The")
    out = collect(handed)
    assert LEFT in texts((out / "class.html").read_text(encoding="utf-8"))
    assert LEFT in [one["answer"] for one in sheet_of(out / "class.xlsx")]
    one = next(out.glob("feedback/04 *")).read_text(encoding="utf-8")
    assert any(LEFT in text for text in texts(one))


def test_only_pupils_words_are_quoted_on_the_class_page(work):
    page = class_page(work)
    quotes = re.findall(r"<blockquote>(.*?)</blockquote>", page, re.S)
    written = {text.strip() for n in range(1, 7) for text in written_by(n).values()}
    assert quotes
    assert {unescape(one).replace("\u00a0", " ") for one in quotes} <= written


def test_names_in_answers_are_left_out_of_the_class_page_and_not_of_the_workbook(six, tmp_path):
    told = "Dee told me that it was the same for everybody"
    practical = writes(bench(six, 1), {REASON: told})
    (tmp_path / record_name(six, 1)).write_bytes(record_bytes(practical))
    work = collected(Examiner(six), handed_in(tmp_path))
    assert told in [one.answer for one in work.answers]
    assert told not in class_page(work)
    assert told.replace("Dee", "…") in class_page(work)


def test_the_same_answer_stands_once_and_a_denial_apart(work):
    groups = [one for one in work.answers if one.criterion == "method.reason 1"]
    found = {one.students: one.standing for one in groups if set(one.students) & set(SAME)}
    assert found == {(1, 2): TO_JUDGE[0], (3,): TO_JUDGE[0]}
    assert all(len({n for g in groups for n in g.students}) == 6 for _ in groups)


def test_a_verdict_in_the_workbook_goes_to_all_alike_and_holds_at_every_collecting(handed):
    out = collect(handed)
    before = marks_of(out)
    said = {"1-2": "half", "3": "not yet"}
    judge_in_workbook(
        out / "class.xlsx",
        lambda row: row["criterion"] == "method.reason 1" and said.get(str(row["student"])),
    )
    for _ in range(2):  # the second time from corrections.csv: the new sheet is blank again
        collect(handed)
        assert [now - b for now, b in zip(marks_of(out), before, strict=True)] == [
            *(0.5, 0.5, 0),
            *(0, 0, 0),
        ]
        marks = sheet_of(out / "class.xlsx", "marks")
        assert [row["method.reason 1"] for row in marks[:3]] == [0.5, 0.5, 0]
        rows = [r for r in sheet_of(out / "class.xlsx") if r["criterion"] == "method.reason 1"]
        assert {r["judged so far"] for r in rows if r["student"] == "1-2"} == {"half"}
        assert not any(row["verdict"] for row in rows)
    with (out / "corrections.csv").open(encoding="utf-8-sig", newline="") as file:
        kept = [(row["student"], row["verdict"]) for row in csv.DictReader(file)]
    assert sorted(kept) == [("1", "half"), ("2", "half"), ("3", "not yet")]
    page = (out / "class.html").read_text(encoding="utf-8")
    assert "half right" in page
    assert "½" in page
    one = next(out.glob("feedback/01 *")).read_text(encoding="utf-8")
    assert "Half right. Judged by your teacher." in one
    assert f"{marks_of(out)[0]:g} of" in one


def test_a_workbook_judged_elsewhere_is_named_as_corrections(handed, tmp_path):
    out = collect(handed)
    before, judged = marks_of(out), tmp_path / "judged at home.xlsx"
    judged.write_bytes((out / "class.xlsx").read_bytes())
    judge_in_workbook(judged, lambda row: row["student"] == "1-2" and "right")
    collect(handed, "--corrections", f"{judged}")
    assert [now - b for now, b in zip(marks_of(out), before, strict=True)][:3] == [1, 1, 0]


def test_a_verdict_holds_for_the_answer_that_was_judged_and_not_for_the_next(
    six, handed, records, tmp_path
):
    out = collect(handed)
    judge_in_workbook(out / "class.xlsx", lambda row: row["student"] == "1-2" and "right")
    collect(handed)
    again = written_by(1) | {REASON: "because of the floor"}
    (handed / record_name(six, 1)).write_bytes(record_bytes(writes(bench(six, 1), again)))
    collect(handed)
    marks = sheet_of(out / "class.xlsx", "marks")
    assert marks[0]["method.reason 1"] != 1
    assert marks[1]["method.reason 1"] == 1
    told = [row["why"] for row in sheet_of(out / "class.xlsx", "for the teacher")]
    assert any("is another now" in why for why in told)


def test_what_is_the_teachers_alone_is_closed_to_others(handed):
    out = collect(handed)
    keep_corrections(out / "corrections.csv", [Correction(0, 1, "x", Verdict.RIGHT)])
    for name in ("class.xlsx", "corrections.csv"):
        assert (out / name).stat().st_mode & 0o077 == 0


def test_keeping_replaces_withdraws_and_leaves_the_teachers_own_rows(tmp_path):
    path = tmp_path / "corrections.csv"
    path.write_text(
        'student;criterion;verdict;note\nBo;a;not yet;"seen; twice"\n2;b;right;\n1;c;right;\n',
        encoding="utf-8",
    )
    made = [Correction(0, 2, "b", Verdict.HALF, answer="=1+1", builds_on="x: y")]
    keep_corrections(path, made, {(1, "c")})
    with path.open(encoding="utf-8-sig", newline="") as file:
        rows = list(csv.DictReader(file))
    assert [(r["student"], r["criterion"], r["verdict"], r["note"]) for r in rows] == [
        ("Bo", "a", "not yet", "seen; twice"),
        ("2", "b", "half", ""),
    ]
    found = read_corrections(path, NAMES)
    assert [(one.student, one.verdict) for one in found.rows] == [
        (2, Verdict.WRONG),
        (2, Verdict.HALF),
    ]
    assert found.rows[1].answer == "=1+1"


def test_half_marks_may_be_written_as_marks(tmp_path):
    path = tmp_path / "corrections.csv"
    path.write_text('student,criterion,marks\n1,a,0.5\n2,a,"0,5"\n3,a,0.25\n', encoding="utf-8")
    assert [one.marks for one in read_corrections(path, NAMES).rows] == [0.5, 0.5, 0.25]


@pytest.mark.parametrize(
    ("numbers", "text"), [((3,), "3"), ((1, 2, 3, 7, 9, 10), "1-3, 7, 9-10"), ((2, 1), "1-2")]
)
def test_students_are_listed_in_a_cell_and_read_back(numbers, text):
    assert student_list(numbers) == text
    read = [n for first, last in student_runs(text) for n in range(first, last + 1)]
    assert read == sorted(numbers)


def test_thirty_credits_are_drawn_and_the_same_of_the_same_class(club_work, key, club):
    drawn = [one for one in club_work.answers if one.standing == "credited, to be audited"]
    everybody = sum(
        len(one.students) for one in club_work.answers if one.standing.startswith("credited")
    )
    assert everybody > AUDITED
    assert 1 <= len(drawn) <= AUDITED
    again = collected(Examiner(key), handed_in(club[0]))
    assert again.answers == club_work.answers


def test_near_answers_stand_together(work):
    from sim.classroom.answers import near_together

    given = ["put it back in water", "kneel down", "put the ball back in water", "kneel"]
    order = [given[at] for at in near_together(given)]
    assert abs(order.index(given[0]) - order.index(given[2])) == 1
    assert abs(order.index(given[1]) - order.index(given[3])) == 1


def test_what_was_left_of_numbers_table_and_graph_is_to_be_judged_too_each_by_itself(six, tmp_path):
    def spoil(work):
        work = with_answers(work, ENERGY, energy_before="a quarter")
        return with_graph(with_cells(work, {(0, 1): "bounciness / cm"}), crosses=(), line=())

    for number in (1, 2):
        done = with_book(bench(six, number), spoil)
        (tmp_path / record_name(six, number)).write_bytes(record_bytes(done))
    work = collected(Examiner(six), handed_in(tmp_path))
    left = [
        (one.student, r.criterion) for one in work.students for r in one.feedback.for_the_teacher
    ]
    groups = [one for one in work.answers if one.standing == TO_JUDGE[0]]
    assert sorted((n, one.criterion) for one in groups for n in one.students) == sorted(left)
    assert {one.criterion for one in groups} >= {"energy.before", "table.heading-quantity"}
    by_number = [one for one in groups if one.criterion == "energy.before"]
    assert [one.students for one in by_number] == [(1,), (2,)]
    assert all("No single number can be read" in one.asks for one in by_number)
    shapes = [one for one in groups if one.criterion == "conclusion.shape"]
    # Each beside its own means, in whose order they stand.
    assert sorted(one.students for one in shapes) == [(1,), (2,)]
