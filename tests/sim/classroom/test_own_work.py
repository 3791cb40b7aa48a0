"""An answer of a pupil's own work is judged beside that pupil's readings and line alone."""

import csv
import re
from statistics import mean
from zipfile import ZipFile

import pytest

from analysis.marking.questions import CONCLUSION, ENERGY, EVALUATION
from sim.bench.model.judging import PickAnswer, judging_after, judging_of
from sim.bench.model.pages.judging_pages import card_blocks
from sim.classroom.answers import LEFT, TO_JUDGE, read_answers
from sim.classroom.class_key import key_bytes, record_name
from sim.classroom.corrections import FILE_NAME, OWN_WORK, Corrections
from sim.marking import work_of
from tests.analysis.marking.right_work import with_answers, with_graph
from tests.sim.classroom.collecting import (
    collect,
    judge_in_workbook,
    listed,
    marks_of,
    sheet_of,
    texts,
)
from tests.sim.classroom.pupils import bench, end_of, noting, record_bytes, with_book

NAMES = ("Ada", "Bo", "Cy")
RELATIONSHIP = "as it gets hotter it goes up by 5 cm"
LEFT_SAID = {
    "conclusion.relationship": RELATIONSHIP,
    "conclusion.shape": "sort of a banana",
    "evaluation.repeatable": "sort of",
    "energy.before": "a quarter",
}
"""Left to the teacher whoever wrote it; all three pupils write the same."""
A_MEAN = re.compile(r"([0-9.]+) °C: ([0-9.]+) ± ([0-9.]+) cm")
MARGIN_PX = 60
"""A spreadsheet's row numbers and scroll bar; a letter of its usual font has 7 pixels (common
practice, no source)."""
WEIGHT_N, DROP_M = 0.024 * 9.81, 1.0
"""The ball's 24 g, and the height that it is dropped from."""


def spoilt(work):
    work = with_answers(work, CONCLUSION, relationship=RELATIONSHIP)
    work = with_answers(work, CONCLUSION, shape=LEFT_SAID["conclusion.shape"])
    work = with_answers(work, EVALUATION, repeatable=LEFT_SAID["evaluation.repeatable"])
    return with_answers(work, ENERGY, energy_before=LEFT_SAID["energy.before"])


@pytest.fixture(scope="module")
def three(make_key):
    return make_key(7, NAMES)


@pytest.fixture(scope="module")
def benches(three):
    return {number: bench(three, number) for number in (1, 2, 3)}


@pytest.fixture
def handed(three, benches, tmp_path):
    (tmp_path / "in").mkdir()
    (tmp_path / "key.json").write_bytes(key_bytes(three))
    for number in benches:
        hand_in(tmp_path / "in", three, number, with_book(benches[number], spoilt))
    return tmp_path / "in"


def hand_in(folder, key, number, practical):
    (folder / record_name(key, number)).write_bytes(record_bytes(practical))


def rows_of(out, criterion):
    """The rows about a criterion, by the pupils who stand in them."""
    rows = [row for row in sheet_of(out / "class.xlsx") if row["criterion"] == criterion]
    return {tuple(listed(row["student"])): row for row in rows}


def own_means(practical):
    """Mean and half-range by temperature, by plain arithmetic from the rough page."""
    heights = {}
    for line in work_of(end_of(practical)).rough:
        heights.setdefault(line.temperature_c, []).append(line.height_cm)
    return [(t, mean(cm), (max(cm) - min(cm)) / 2) for t, cm in sorted(heights.items())]


def step(text):
    """What one unit of the last place of a number is."""
    return 10.0 ** -len(text.partition(".")[2])


@pytest.mark.parametrize("criterion", [one for one in LEFT_SAID if one != "energy.before"])
def test_the_same_words_about_own_work_stand_apart_each_beside_the_pupils_own_means(
    handed, benches, criterion
):
    rows = rows_of(collect(handed), criterion)
    assert set(rows) == {(1,), (2,), (3,)}
    for (number,), row in rows.items():
        assert row["program"] == LEFT
        assert row["answer"] == LEFT_SAID[criterion]
        told = A_MEAN.findall(row[OWN_WORK])
        due = own_means(benches[number])
        assert [float(t) for t, _, _ in told] == [t for t, _, _ in due]
        for (_, *texts_cm), (_, *values_cm) in zip(told, due, strict=True):
            for text, value_cm in zip(texts_cm, values_cm, strict=True):
                assert abs(float(text) - value_cm) <= 0.5 * step(text) + 1e-9


def test_a_shape_stands_beside_what_the_own_line_is(handed, three, benches):
    curve = ((20.0, 12.0), (40.0, 30.0), (60.0, 35.0))
    hand_in(
        handed, three, 2, with_book(benches[2], lambda work: with_graph(spoilt(work), line=curve))
    )
    hand_in(handed, three, 3, with_book(benches[3], lambda work: with_graph(spoilt(work), line=())))
    rows = rows_of(collect(handed), "conclusion.shape")
    lines = [rows[number,][OWN_WORK].partition(";")[0] for number in (1, 2, 3)]
    assert lines == ["straight line", "curved line", "no line"]


def test_a_left_number_stands_beside_what_the_own_work_gives(handed):
    rows = rows_of(collect(handed), "energy.before")
    assert set(rows) == {(1,), (2,), (3,)}
    assert {row[OWN_WORK] for row in rows.values()} == {f"{WEIGHT_N * DROP_M:.3f} J"}


def test_a_verdict_goes_to_the_one_whose_readings_it_was_given_beside(handed):
    out = collect(handed)
    before = marks_of(out)
    judge_in_workbook(
        out / "class.xlsx",
        lambda row: (
            row["criterion"] == "conclusion.relationship" and row["student"] == "2" and "right"
        ),
    )
    collect(handed)
    assert [now - b for now, b in zip(marks_of(out), before, strict=True)] == [0, 1, 0]
    with (out / FILE_NAME).open(encoding="utf-8-sig", newline="") as file:
        (kept,) = csv.DictReader(file)
    assert kept[OWN_WORK] == rows_of(out, "conclusion.relationship")[2,][OWN_WORK]


def judged_by_all(out, criterion, without=()):
    judge_in_workbook(
        out / "class.xlsx", lambda row: row["criterion"] == criterion and "right", without
    )


def hand_in_other_readings(handed, three, benches):
    """The first pupil's file again, each height a centimetre higher, with the same words."""
    heights_m = [line.height_m + 0.01 for line in end_of(benches[1]).rough]
    hand_in(handed, three, 1, with_book(noting(benches[1], heights_m), spoilt))


def told_of_corrections(out):
    rows = sheet_of(out / "class.xlsx", "for the teacher")
    return [row["why"] for row in rows if "of the corrections" in str(row["why"])]


def test_the_same_words_beside_other_readings_are_to_be_judged_again(handed, three, benches):
    out = collect(handed)
    judged_by_all(out, "conclusion.relationship")
    collect(handed)
    assert {row["judged so far"] for row in rows_of(out, "conclusion.relationship").values()} == {
        "right"
    }
    assert not told_of_corrections(out)
    hand_in_other_readings(handed, three, benches)
    collect(handed)
    rows = rows_of(out, "conclusion.relationship")
    assert [rows[number,]["judged so far"] for number in (1, 2, 3)] == ["", "right", "right"]
    (why,) = told_of_corrections(out)
    assert "the own work beside the answer to conclusion.relationship is another now" in why


def test_a_workbook_and_corrections_of_earlier_programs_without_own_work_are_read(
    handed, three, benches
):
    out = collect(handed)
    judged_by_all(out, "conclusion.relationship", without=(OWN_WORK,))
    assert {one.own_work for one in read_answers(out / "class.xlsx")} == {""}
    collect(handed)
    rows = rows_of(out, "conclusion.relationship")
    assert {row["judged so far"] for row in rows.values()} == {"right"}
    hand_in_other_readings(handed, three, benches)  # whose verdict says of no readings
    collect(handed)
    rows = rows_of(out, "conclusion.relationship")
    assert {row["judged so far"] for row in rows.values()} == {"right"}
    assert not told_of_corrections(out)


def test_the_columns_up_to_the_verdict_are_seen_at_once_on_a_school_laptop(handed):
    out = collect(handed)
    with ZipFile(out / "class.xlsx") as file:
        page = file.read("xl/worksheets/sheet2.xml").decode()
    widths = re.findall(r'<col min="(\d+)" max="(\d+)" width="([0-9.]+)"', page)
    letters = [
        float(width) for first, last, width in widths for _ in range(int(first), int(last) + 1)
    ]
    verdict = list(sheet_of(out / "class.xlsx")[0]).index("verdict")
    assert sum(7 * width for width in letters[: verdict + 1]) < 1366 - MARGIN_PX


def test_the_window_shows_the_own_work_beside_the_answer_at_hand(handed):
    answers = read_answers(collect(handed) / "class.xlsx")
    judging = judging_of(answers, Corrections())
    places = [place for place in judging.asked if answers[place].criterion in LEFT_SAID]
    assert len(places) >= 3 * len(LEFT_SAID)
    for place in places:
        at_hand, _ = judging_after(judging, PickAnswer(place))
        words = [getattr(block, "text", "") for block in card_blocks(at_hand)]
        assert answers[place].own_work
        assert answers[place].own_work in [text.replace("\u00a0", " ") for text in words]


def test_a_page_that_others_see_has_the_words_once_and_nobodys_means(handed):
    out = collect(handed)
    shown = texts((out / "class.html").read_text(encoding="utf-8"))
    own = [one.own_work for one in read_answers(out / "class.xlsx") if one.own_work]
    assert len(own) > len(LEFT_SAID)
    assert not [text for text in shown if any(each in text for each in own)]
    assert not any(A_MEAN.search(text) for text in shown)
    assert shown.count(RELATIONSHIP) == 1
    at = shown.index(RELATIONSHIP)
    assert "written by 3" in " ".join(shown[at + 1 : at + 4])
    for page in out.glob("feedback/*"):
        assert not A_MEAN.search(" ".join(texts(page.read_text(encoding="utf-8"))))


def test_credits_of_own_work_are_audited_each_beside_its_own(club_work):
    groups = [one for one in club_work.answers if one.criterion == "conclusion.shape"]
    assert len({one.own_work for one in groups}) == len(groups) > 20
    # Practical 14 noted the readings of 15: beside the same work the same words are one answer.
    assert {one.students for one in groups if len(one.students) > 1} == {(14, 15)}
    assert {one.answer for one in groups} == {"straight"}
    assert any(one.standing in TO_JUDGE for one in groups)
