import math
import time
from collections import Counter
from dataclasses import replace

import pytest

from analysis.marking.questions import ANSWERED
from analysis.marking.sentences.criteria import load
from analysis.marking.sentences.verdict import mark_written
from analysis.marking.study import Study
from analysis.marking.work import Axis, Graph, RoughLine, Verdict, Work
from tests.analysis.marking.answers import (
    LINES,
    PARTLY,
    RIGHT,
    TIGHT,
    WIDE,
    Sample,
    graph,
    marked,
    rough,
    samples,
)

EARNED = (Verdict.RIGHT, Verdict.CARRIED)


def outcomes(chosen):
    return Counter((sample.label, marked(sample).verdict.name) for sample in chosen)


def one(page, question, text, **others):
    work = Work(answers={(page, question): text}, **others)
    return next(r for r in mark_written(Study(work)) if (r.page, r.where) == (page, question))


def reason(text, judgement="Yes", half_range="", heights=TIGHT):
    answers = {
        ("Evaluation", "repeatable"): judgement,
        ("Evaluation", "repeatable reason"): text,
        ("Evaluation", "half-range"): half_range,
    }
    remarks = mark_written(Study(Work(answers=answers, rough=rough(heights))))
    return next(r for r in remarks if r.where == "repeatable reason")


@pytest.mark.parametrize(
    ("file", "least"),
    [("samples.toml", 165), ("samples_second.toml", 65), ("samples_aside.toml", 50)],
)
def test_no_answer_that_was_tuned_on_is_credited_wrongly_or_refused_wrongly(file, least):
    found = outcomes(samples(file))
    assert found["wrong", "RIGHT"] == found["half", "RIGHT"] == found["right", "WRONG"] == 0
    assert found["right", "RIGHT"] >= least


def test_empty_answers_are_missing():
    for answers in ({}, {(row.criterion.page, row.question): " \n" for row in load().rows}):
        remarks = tuple(mark_written(Study(Work(answers=answers))))
        assert len(remarks) == len(load().rows)
        assert {r.verdict for r in remarks} == {Verdict.MISSING}
        assert all(r.nudge and r.worked for r in remarks)


def test_the_words_that_earned_the_mark_are_evidence():
    remark = one("Conclusion", "relationship", "The Rebound hight increses if it’s hotter!")
    assert remark.verdict is Verdict.RIGHT
    assert remark.evidence == ("increses", "hotter")
    assert (remark.earned, remark.nudge, remark.worked) == (1, "", "")
    assert remark.criterion == "conclusion.relationship"


def test_a_student_who_answers_everything_rightly_gets_every_mark():
    work = Work(answers=RIGHT, rough=rough(TIGHT), graph=graph("straight"))
    remarks = tuple(mark_written(Study(work)))
    assert {r.criterion for r in remarks if r.verdict is not Verdict.RIGHT} == set()
    assert sum(r.earned for r in remarks) == len(RIGHT) == len(load().rows)
    assert all(r.evidence for r in remarks)


def test_a_slip_is_mended_to_a_word_of_its_own_subject():
    said = "the height riscs steadily as the water gets hotter"
    assert one("Conclusion", "relationship", said).evidence == ("riscs", "hotter")


def test_the_question_over_again_is_no_answer_on_any_page():
    for (page, name), asked in ANSWERED.items():
        if not (asked.optional or asked.answer.quantity):
            found = one(page, name, asked.words)
            assert found.verdict is not Verdict.RIGHT, asked
    assert "words of the question" in one("Hazards", "risk 1", "What could happen (risk)").nudge


def test_what_contradicts_is_evidence_too():
    remark = one("Conclusion", "relationship", "the height decreases")
    assert remark.verdict is Verdict.WRONG
    assert remark.evidence == ("decreases",)
    assert remark.worked
    assert remark.earned == 0


def test_the_nudge_does_not_give_the_answer_away():
    for row in load().rows:
        sample = Sample(row.criterion.page, row.question, row.nudge.rstrip("?"), "wrong", "nudge")
        assert marked(sample).verdict not in EARNED, row.criterion.name


@pytest.mark.parametrize("text", ["?", "idk", "I don't know", "no idea", "...", "👍"])
def test_saying_nothing_is_not_left_to_the_teacher(text):
    assert one("Conclusion", "relationship", text).verdict is Verdict.WRONG


@pytest.mark.parametrize(
    ("text", "guess"),
    [
        ("obviously it goes up", "right"),
        ("obviously it goes down", "not yet"),
        ("It goes up, but the longer took less", "half"),
        ("the flubber grombled", "not yet"),
        ("it goes up", None),
        ("it goes down", None),
    ],
)
def test_an_answer_that_is_left_carries_a_guess_and_no_other_does(text, guess):
    remark = one("Conclusion", "relationship", text)
    assert remark.guess == guess
    assert (remark.verdict is Verdict.TEACHER) is (guess is not None)


@pytest.mark.parametrize(
    ("heights", "said", "verdict"),
    [
        (TIGHT, "yes", Verdict.RIGHT),
        (TIGHT, "no", Verdict.WRONG),
        (WIDE, "no", Verdict.RIGHT),
        (WIDE, "yes", Verdict.WRONG),
        (PARTLY, "partly", Verdict.RIGHT),
        (PARTLY, "yes", Verdict.TEACHER),
        (PARTLY, "no", Verdict.TEACHER),
        (TIGHT, "partly", Verdict.TEACHER),
        ({20: (10,), 30: (20,)}, "yes", Verdict.TEACHER),
    ],
)
def test_the_judgement_must_agree_with_the_own_readings(heights, said, verdict):
    assert one("Evaluation", "repeatable", said, rough=rough(heights)).verdict is verdict


def test_a_struck_out_reading_does_not_count():
    heights = {20: (9, 10, 40), 30: (20, 21, 20)}
    readings = rough(heights)
    assert one("Evaluation", "repeatable", "yes", rough=readings).verdict is Verdict.WRONG
    struck = tuple(replace(r, struck_out=r.height_cm == 40) for r in readings)
    assert one("Evaluation", "repeatable", "yes", rough=struck).verdict is Verdict.RIGHT


def test_without_a_rough_page_the_own_table_decides():
    headings = ("temperature / °C", "rebound height 1 / cm", "rebound height 2 / cm")
    for rows, verdict in (
        ((("20", "10", "11"), ("30", "20", "21")), Verdict.RIGHT),
        (
            (("20", "10", "30"), ("30", "20", "31")),
            Verdict.WRONG,
        ),
    ):
        table = dict(enumerate((headings, *rows)))
        cells = {(r, c): text for r, row in table.items() for c, text in enumerate(row)}
        assert one("Evaluation", "repeatable", "yes", cells=cells).verdict is verdict


def test_a_reason_needs_a_number_of_the_own_readings():
    close = "The readings are close together"
    assert reason(f"{close}, 0.5 cm.").verdict is Verdict.RIGHT
    assert reason(f"{close}, 5 mm.").verdict is Verdict.RIGHT
    assert "0.5 cm" in reason(f"{close}, 0.5 cm.").evidence
    assert reason(f"{close}.").verdict is Verdict.WRONG
    assert "number" in reason(f"{close}.").nudge
    assert reason(f"{close}, 99 cm.").verdict is Verdict.WRONG
    # A reading of the own table is no spread, and may be one end of one that is meant.
    assert reason(f"{close}, 9 cm.").verdict is Verdict.TEACHER
    assert reason(f"{close}, half a centimetre.").verdict is Verdict.RIGHT
    assert reason(f"{close}, eight centimetres.").verdict is Verdict.WRONG
    assert reason(f"{close}, a half or so.").verdict is Verdict.TEACHER
    assert reason(f"{close}, 0.5 cm out of 77 cm.").verdict is Verdict.TEACHER
    assert reason(f"{close} at 20 °C.").verdict is Verdict.WRONG


def test_the_repeats_of_one_temperature_show_their_spread():
    spread = "They are all over the place"
    assert reason(f"{spread}, 9 then 15", "No", heights=WIDE).verdict is Verdict.RIGHT
    assert reason(f"{spread}, 9 and 9", "No", heights=WIDE).verdict is Verdict.TEACHER


def test_a_wrong_half_range_is_carried_into_the_reason():
    text = "The half-range is small, 2.2 cm"
    assert reason(text).verdict is Verdict.WRONG
    assert reason(text, half_range="2.2 cm").verdict is Verdict.CARRIED
    assert reason(text, half_range="2.2 cm").earned == 1


def test_a_reason_must_agree_with_the_judgement():
    text = "The half-range is small, 0.5 cm"
    assert reason(text, "No").verdict is Verdict.WRONG
    assert reason(text, "").verdict is Verdict.TEACHER
    assert reason("They are spread out, 3 cm", "No", heights=WIDE).verdict is Verdict.RIGHT


def test_the_shape_must_be_that_of_the_own_line():
    for line in LINES:
        for said in LINES:
            found = one("Conclusion", "shape", said, graph=graph(line)).verdict
            assert found is (Verdict.RIGHT if said == line else Verdict.WRONG)
    assert one("Conclusion", "shape", "straight").verdict is Verdict.TEACHER


def test_a_free_curve_that_is_as_good_as_straight_may_be_called_either():
    up = Axis("rebound height / cm", 0, 5)
    assert may_be_called(Graph({"up": up}, line=((0, 0), (5, 5.2), (10, 10)))) == set(LINES)
    assert may_be_called(Graph({"up": up}, line=((0, 0), (5, 5.3), (10, 10)))) == {"curved"}
    assert may_be_called(Graph()) == may_be_called(None) == set()
    assert may_be_called(Graph(line=((3, 0), (3, 5), (3, 9)))) == {"curved"}


def may_be_called(drawn):
    """The shapes that earn the mark for a line."""
    return {s for s in LINES if one("Conclusion", "shape", s, graph=drawn).verdict in EARNED}


@pytest.mark.parametrize("wild", [math.nan, math.inf, -math.inf, 1e300, 1.8e154])
def test_wild_numbers_are_for_the_teacher(wild):
    readings = (*rough({20: (10, 11), 30: (20, 21)}), RoughLine(40.0, wild))
    found = one("Evaluation", "repeatable", "yes", rough=readings)
    assert found.verdict is Verdict.RIGHT  # the sets that can be readings decide
    lone = (RoughLine(wild, 10.0), RoughLine(wild, 11.0))
    assert one("Evaluation", "repeatable", "yes", rough=lone).verdict is Verdict.TEACHER
    drawn = Graph(line=((0.0, 0.0), (1.0, wild), (2.0, 1.0)))
    assert one("Conclusion", "shape", "straight", graph=drawn).verdict is Verdict.TEACHER


def improvement(first, text, second="", other=""):
    answers = {
        ("Evaluation", "inaccuracy 1"): first,
        ("Evaluation", "improvement 1"): text,
        ("Evaluation", "inaccuracy 2"): second,
        ("Evaluation", "improvement 2"): other,
    }
    return {r.where: r for r in mark_written(Study(Work(answers=answers)))}


def test_an_improvement_fits_its_own_inaccuracy():
    found = improvement("the ball cooled", "reheat it", "parallax", "eye level")
    assert {found[f"{n} {k}"].verdict for n in ("inaccuracy", "improvement") for k in (1, 2)} == {
        Verdict.RIGHT
    }
    swapped = improvement("the ball cooled", "eye level", "parallax", "reheat it")
    assert swapped["improvement 1"].verdict is swapped["improvement 2"].verdict is Verdict.WRONG
    assert "fit" in swapped["improvement 1"].nudge
    assert swapped["inaccuracy 2"].verdict is Verdict.RIGHT


def test_the_second_inaccuracy_differs_from_the_first():
    found = improvement("the ball cooled", "", "the ball lost heat", "reheat it")
    assert found["inaccuracy 2"].verdict is Verdict.WRONG
    assert "another" in found["inaccuracy 2"].nudge
    both = improvement("the ball cooled", "", "The ball cooled and it was wet")
    assert both["inaccuracy 2"].verdict is Verdict.TEACHER
    unclear = improvement("the flubber grombled", "", "the ball cooled")
    assert unclear["inaccuracy 2"].verdict is Verdict.TEACHER


def test_an_improvement_of_nothing_or_of_something_unclear():
    assert improvement("", "reheat it")["improvement 1"].verdict is Verdict.WRONG
    assert improvement("flubber", "reheat it")["improvement 1"].verdict is Verdict.TEACHER


@pytest.mark.parametrize("text", ["'; --", "<b>it</b>", "up" * 5000, "not " * 300, "it\u0000 ↑"])
def test_any_text_is_marked(text):
    answers = {(row.criterion.page, row.question): text for row in load().rows}
    for remark in mark_written(Study(Work(answers=answers))):
        assert remark.verdict not in EARNED
        assert all(words in text for words in remark.evidence)


@pytest.mark.performance
def test_a_students_written_answers_are_marked_in_ten_milliseconds():
    by_question = {(s.page, s.question): s.text for s in samples("samples.toml")}
    work = Work(answers=by_question, rough=rough(TIGHT), graph=graph("straight"))
    list(mark_written(Study(work)))
    times = []
    for _ in range(20):
        began = time.process_time()
        list(mark_written(Study(work)))
        times.append(time.process_time() - began)
    assert min(times) < 0.010


PRESSURE_NOTE = "The air inside a warm ball does press harder, by about a seventh"


@pytest.mark.parametrize(
    ("text", "earns"),
    [
        ("It goes up because the air inside the ball has more pressure", True),
        ("As the temperature increases the height increases because the gas inside expands.", True),
        (
            "When it is hotter it bounces higher. The air particles inside hit the walls harder.",
            True,
        ),
        ("The bounce gets higher as it gets hotter as the air pressure in the ball goes up", True),
        # A reason alone, or with the wrong way round, earns nothing: the question asks which way.
        ("Because the air inside is at higher pressure.", False),
        ("As it gets hotter it bounces lower because the air inside is at lower pressure", False),
    ],
)
def test_the_air_inside_neither_earns_nor_spoils_the_relationship(text, earns):
    remark = one("Conclusion", "relationship", text)
    assert (remark.verdict in EARNED) is earns
    assert PRESSURE_NOTE in remark.nudge


def test_pressure_alone_is_not_taken_for_the_air_inside():
    remark = one("Conclusion", "relationship", "As the pressure increases the height increases")
    assert remark.verdict is Verdict.TEACHER
    assert PRESSURE_NOTE not in remark.nudge


@pytest.mark.parametrize(
    ("text", "earns"),
    [
        ("It was used to compress the air inside the ball", False),
        ("It became heat in the rubber, because squashing the air inside gives it back", True),
    ],
)
def test_energy_pressed_into_the_air_is_told_apart_from_what_is_lost(text, earns):
    remark = one("Energy", "where it went", text)
    assert (remark.verdict in EARNED) is earns
    assert "it springs back" in remark.nudge


def test_an_answer_that_cannot_be_read_is_helped_like_one_that_is_wrong():
    for row in load().rows:
        if row.rule != "fits":
            found = one(row.criterion.page, row.question, "the flubber grombled")
            assert found.verdict is Verdict.TEACHER, row.criterion.name
            assert (found.nudge, found.worked) == (row.nudge, row.worked)


def test_what_is_likely_right_is_not_nudged_as_if_it_were_wrong():
    found = one("Conclusion", "relationship", "obviously it goes up")
    assert found.guess == "right"
    assert found.nudge.startswith("This may be right")
    assert found.worked


def test_no_sentence_of_help_stands_twice_on_a_page():
    for said in ("idk", "the flubber grombled", "Which variable?"):
        answers = {(row.criterion.page, row.question): said for row in load().rows}
        remarks = tuple(mark_written(Study(Work(answers=answers))))
        nudges = Counter((r.page, r.nudge) for r in remarks)
        steps = Counter((r.page, r.worked) for r in remarks)
        assert max(nudges.values()) == max(steps.values()) == 1, (said, nudges.most_common(2))


def test_not_curved_is_straight():
    for said, line, verdict in (
        ("not curved", "straight", Verdict.RIGHT),
        ("It is not curved.", "curved", Verdict.WRONG),
        ("it isn't straight", "curved", Verdict.RIGHT),
    ):
        assert one("Conclusion", "shape", said, graph=graph(line)).verdict is verdict, said


def hazards(first, second):
    answers = {("Hazards", "hazard 1"): first, ("Hazards", "hazard 2"): second}
    remarks = mark_written(Study(Work(answers=answers)))
    return {r.where: r.verdict for r in remarks}["hazard 2"]


@pytest.mark.parametrize(
    ("text", "earns"),
    [
        ("take the ball out quick with your fingers so you dont have to touch it long", False),
        ("lift the ball out with tongs and not with your fingers", True),
    ],
)
def test_fingers_in_hot_water_are_no_control(text, earns):
    answers = {("Hazards", "hazard 1"): "hot water", ("Hazards", "control 1"): text}
    remarks = {r.where: r.verdict for r in mark_written(Study(Work(answers=answers)))}
    assert (remarks["control 1"] in EARNED) is earns


def test_hot_water_and_a_hot_ball_are_two_hazards():
    assert hazards("the kettle's hot water", "a hot wet ball") is Verdict.RIGHT
    assert hazards("the kettle's hot water", "boiling water") is Verdict.WRONG


@pytest.mark.parametrize(
    ("text", "verdict"),
    [
        ("I wouldn't film it because eyes are better than a camera", Verdict.TEACHER),
        ("Use a camera because it can be paused", Verdict.RIGHT),
    ],
)
def test_what_only_a_reason_or_a_comparison_speaks_of_is_no_improvement(text, verdict):
    assert improvement("too fast to see", text)["improvement 1"].verdict is verdict


@pytest.mark.parametrize(
    ("text", "verdict"),
    [
        ("I thought it would go down but it went up", Verdict.RIGHT),
        ("I thought it would go up but it went down", Verdict.WRONG),
        ("it bounces higher at 60 than at 20", Verdict.RIGHT),
        ("it bounces higher at 20 than at 60", Verdict.TEACHER),
        ("it goes up till 40 then comes down again", Verdict.TEACHER),
    ],
)
def test_what_was_thought_before_claims_nothing(text, verdict):
    assert one("Conclusion", "relationship", text).verdict is verdict


@pytest.mark.parametrize("text", ["use a camera", "Film it at the height of the bounce"])
def test_a_camera_helps_against_parallax(text):
    assert improvement("parallax", text)["improvement 1"].verdict is Verdict.RIGHT


@pytest.mark.parametrize(
    ("variable", "text", "verdict"),
    [
        ("the drop height", "a higher drop gives a higher bounce", Verdict.RIGHT),
        ("the drop height", "higher drop means a smaller bounce", Verdict.WRONG),
        ("the drop height", "the higher you drop it the less it bounces", Verdict.WRONG),
        ("the surface", "soft floors absorb energy so it bounces less", Verdict.RIGHT),
        ("the surface", "because soft floors bounce more", Verdict.WRONG),
        ("the surface", "tiles and carpet give different bounces", Verdict.RIGHT),
        (
            "time in the water",
            "the longer it is in the hotter it is and the more it bounces",
            Verdict.RIGHT,
        ),
        (
            "the same time in the water",
            "The ball needs the time to get as warm as the water, else it won't bounce enough.",
            Verdict.RIGHT,
        ),
        ("time out of the water", "if you wait it loses heat and bounces less", Verdict.RIGHT),
        ("time out of the water", "if you wait it loses heat and bounces more", Verdict.WRONG),
        ("the drop height", "higher drop energy bounce rebound floor", Verdict.TEACHER),
        ("the drop height", "a higher drop makes it hotter so it bounces higher", Verdict.TEACHER),
        ("time out of the water", "if I wait it is colder so it bounces less", Verdict.RIGHT),
        ("same person", "people get different heights for the same bounce", Verdict.RIGHT),
    ],
)
def test_a_reason_must_foretell_the_direction_that_it_tells(variable, text, verdict):
    answers = {("Method", "control variable 1"): variable, ("Method", "reason 1"): text}
    remarks = mark_written(Study(Work(answers=answers)))
    assert {r.where: r.verdict for r in remarks}["reason 1"] is verdict


@pytest.mark.parametrize(
    ("said", "verdict"),
    [
        ("It goes up by 0.6 cm per degree", Verdict.RIGHT),
        ("It goes up by 6 cm per degree", Verdict.TEACHER),
        ("It goes up by 0.06 cm per degree", Verdict.TEACHER),
        ("It goes up by 6 cm for every 10 degrees", Verdict.RIGHT),
        ("It goes up by 60 cm for every 10 degrees", Verdict.TEACHER),
        ("It goes up by 24 cm for each step of 10 degrees", Verdict.TEACHER),
        ("It goes up by 6 cm for each step of 10 degrees", Verdict.RIGHT),
        ("It goes up by 6 mm each 10 °C", Verdict.TEACHER),
        ("It goes up by 6 cm per 0 degrees", Verdict.TEACHER),
        ("It goes up, 10 cm at 20 degrees and 34 cm at 60", Verdict.RIGHT),
        ("hotter = higher, 10cm at 20 and 34cm at 60", Verdict.RIGHT),
        ("It goes up from 10 cm at 20 to 34 cm at 60 degrees", Verdict.RIGHT),
        ("It goes up, at 50 degrees it was 6 cm higher", Verdict.RIGHT),
        ("It goes up, 34 cm at 20 degrees and 10 cm at 60", Verdict.TEACHER),
        ("hotter = higher, 34cm at 20 and 10cm at 60", Verdict.TEACHER),
        ("It goes up until 40 degrees, at 60 it is back at 10 cm", Verdict.TEACHER),
        ("The height goes up as the temperature goes from 60 to 20 degrees", Verdict.TEACHER),
        ("Both go up together, so when it is colder the height is higher", Verdict.TEACHER),
        (
            "As the temperature falls the bounce gets higher, so they both go the same way.",
            Verdict.TEACHER,
        ),
    ],
)
def test_a_relationship_at_odds_with_the_readings_or_with_itself_is_left(said, verdict):
    assert one("Conclusion", "relationship", said, rough=rough(TIGHT)).verdict is verdict


@pytest.mark.parametrize(
    ("question", "said"),
    [
        ("shape", "The ball goes straight up beside the rule"),
        ("shape", "I joined each point straight to the next one"),
        ("shape", "It is straight, but at the end it gets steeper"),
        ("repeatable", "They would be repeatable if my numbers agreed"),
        ("repeatable", "It is repeatable to drop a ball, but the heights were miles apart"),
    ],
)
def test_a_choice_on_a_condition_or_of_another_thing_is_left(question, said):
    page = "Conclusion" if question == "shape" else "Evaluation"
    found = one(page, question, said, rough=rough(TIGHT), graph=graph("straight"))
    assert found.verdict is Verdict.TEACHER


@pytest.mark.parametrize(
    ("hazard", "question", "said"),
    [
        ("kettle", "risk 1", "if the cable gets wet you could be electrocuted"),
        ("hot water", "control 1", "warn others and walk slowly"),
        ("the kettle", "control 1", "dry your hands before you touch the plug of it"),
    ],
)
def test_what_only_words_speak_against_is_left_where_it_reads_right(hazard, question, said):
    answers = {("Hazards", "hazard 1"): hazard, ("Hazards", question): said}
    remarks = mark_written(Study(Work(answers=answers)))
    assert {r.where: r.verdict for r in remarks}[question] is Verdict.TEACHER
