"""Numeric answers: tolerances, units, slips by name, and what is carried from an earlier slip."""

import math
from dataclasses import replace

import pytest

from analysis.marking.energy_answers import CONVERSION, GRAMS
from analysis.marking.questions import CONCLUSION, ENERGY, EVALUATION, METHOD
from analysis.marking.study import Study
from analysis.marking.work import RoughLine, Verdict, Work
from analysis.quantity.written import read_answer
from tests.analysis.marking.right_work import (
    CLUB,
    Style,
    numeric,
    right_work,
    rough_of,
    with_answers,
    with_axis,
    with_cells,
    with_graph,
)


def verdicts(work):
    return {
        one.criterion: one.verdict for one in numeric(work, METHOD, CONCLUSION, EVALUATION, ENERGY)
    }


def not_right(work):
    return {name: v for name, v in verdicts(work).items() if v is not Verdict.RIGHT}


@pytest.mark.parametrize(
    ("text", "kind", "unit", "value"),
    [
        ("34.5 cm", "length", "cm", 34.5),
        ("345mm", "length", "cm", 34.5),
        ("0.345 m", "length", "cm", 34.5),
        ("h = 34,5 cm", "length", "cm", 34.5),
        ("about 34.5 centimetres.", "length", "cm", 34.5),
        ("± 1.5 cm", "length", "cm", 1.5),
        ("0.62 cm/°C", "gradient", "cm", 0.62),
        ("0.62 cm / °C", "gradient", "cm", 0.62),
        ("0.62 cm per degree", "gradient", "cm", 0.62),
        ("0.62 cm for each 1 °C", "gradient", "cm", 0.62),
        ("0.62 cm °C⁻¹", "gradient", "cm", 0.62),
        ("0.62 cm °C^-1", "gradient", "cm", 0.62),
        ("6.2 mm per °C", "gradient", "cm", 0.62),
        ("0.024 × 9.81 × 1.00 = 0.235 J", "energy", "J", 0.235),
        ("2.35 × 10⁻¹ J", "energy", "J", 0.235),
        ("2.35e-1 joules", "energy", "J", 0.235),
        ("2.35 x 10^-1 J", "energy", "J", 0.235),
        ("235 mJ", "energy", "J", 0.235),
        ("36.2 %", "percentage", "%", 36.2),
        ("36.2 per cent", "percentage", "%", 36.2),
        ("40 deg C", "temperature", "", 40.0),
        ("40 oC", "temperature", "", 40.0),
        ("40oC", "temperature", "", 40.0),
        ("40⁰C", "temperature", "", 40.0),
        ("40 0C", "temperature", "", 40.0),
        ("40^oC", "temperature", "", 40.0),
        ("40 degrees", "temperature", "", 40.0),
        ("40°", "temperature", "", 40.0),
        ("40 degrees celcius", "temperature", "", 40.0),
        ("0 C", "temperature", "", 0.0),
        ("every 10 degrees", "temperature", "", 10.0),
        ("0.62 cm each degree", "gradient", "cm", 0.62),
        ("0.62 cm a degree", "gradient", "cm", 0.62),
        ("each degree adds 0.62 cm", "gradient", "cm", 0.62),
        ("1 °C = 0.62 cm", "gradient", "cm", 0.62),
        ("0.62 cm = 1 °C", "gradient", "cm", 0.62),
        ("one degree is 0.62 cm", "gradient", "cm", 0.62),
        ("6.2 cm per 10 °C", "gradient", "cm", 0.62),
        ("6.2 cm for every 10 degrees", "gradient", "cm", 0.62),
        ("for every 10 °C it goes up 6.2 cm", "gradient", "cm", 0.62),
        ("24.8 cm ÷ 40 °C = 0.62 cm/°C", "gradient", "cm", 0.62),
        ("24.8 / 40 = 0.62, so 6.2 cm in 10 °C", "gradient", "cm", 0.62),
        ("0.62 ± 0.05 cm/°C", "gradient", "cm", 0.62),
        ("36.2 ± 1 cm", "length", "cm", 36.2),
        ("36.2 cm +/- 1 cm", "length", "cm", 36.2),
        ("36.2 ± 1 cm", "uncertainty", "cm", 1.0),
        ("plus or minus 1 cm", "uncertainty", "cm", 1.0),
        ("+ or - 1 cm", "uncertainty", "cm", 1.0),
        ("0.62 cm·°C⁻¹", "gradient", "cm", 0.62),
        ("0.62 cm / 1 degree", "gradient", "cm", 0.62),
        ("0.6 cm every 1 degree C rise", "gradient", "cm", 0.6),
        ("range 2, so 1 cm", "uncertainty", "cm", 1.0),
        ("37 - 35 = 2 therefore 10 mm", "uncertainty", "cm", 1.0),
        ("1 cm, so it is small", "uncertainty", "cm", 1.0),
        ("five", "count", "", 5.0),
        ("Five drops", "count", "", 5.0),
        ("5 times", "count", "", 5.0),
    ],
)
def test_answers_are_read_in_many_spellings(text, kind, unit, value):
    found = read_answer(text, kind, unit)
    assert found.value == pytest.approx(value)
    assert found.factor is not None


@pytest.mark.parametrize("text", ["", "thirty", "between 20 and 30 cm", "20-60", "3 or 4 cm"])
def test_an_answer_without_one_certain_number_is_not_read(text):
    assert read_answer(text, "length", "cm") is None


@pytest.mark.parametrize(
    ("text", "figures", "step"), [("0.0560", 3, 1e-4), ("24.0", 3, 0.1), ("5.6 × 10⁻² J", 2, 1e-3)]
)
def test_figures_and_places_as_written(text, figures, step):
    found = read_answer(text, "energy", "J")
    assert (found.figures, found.step) == (figures, pytest.approx(step))


def test_rates_are_written_to_the_places_that_they_have():
    found = read_answer("6.2 cm per 10 °C", "gradient", "cm")
    assert (found.figures, found.step) == (2, pytest.approx(0.01))


@pytest.mark.parametrize(
    "text", ["10 °C per 6.2 cm", "from 20 °C 24.8 cm", "36 cm at 40 °C", "20 °C and 60 °C", "6/10"]
)
def test_two_numbers_that_are_no_rate_say_nothing_certain(text):
    assert read_answer(text, "gradient", "cm") is None


def test_right_numbers_earn_every_mark():
    assert not_right(right_work()) == {}


@pytest.mark.parametrize(
    "style",
    [
        Style(gravity=9.8),
        Style(gravity=10.0),
        Style(figures=2),
        Style(figures=2, answers_from_rounded=False),
        Style(gradient_figures=3),
        Style(mean_places=0),
    ],
)
def test_other_ways_within_the_rules_are_right_too(style):
    assert not_right(right_work(style=style)) == {}


# Method


@pytest.mark.parametrize(
    ("question", "text", "criterion"),
    [
        ("lowest_temperature", "10 °C", "method.lowest"),
        ("highest_temperature", "70 °C", "method.highest"),
        ("repeats", "6 drops", "method.repeats"),
    ],
)
def test_a_plan_that_was_not_kept(question, text, criterion, only):
    remark = only(with_answers(right_work(), METHOD, **{question: text}), criterion)
    assert text in remark.evidence


def test_an_interval_that_was_not_kept(lost):
    found = lost(with_answers(right_work(), METHOD, interval="25 °C"))
    assert set(found) == {"method.interval"}


@pytest.mark.parametrize("interval", ["20 °C", "15 °C", "14 degrees", "8 oC", "5 °C"])
def test_another_interval_than_the_one_done(interval, lost):
    found = lost(with_answers(right_work(), METHOD, interval=interval))
    assert set(found) == {"method.interval"}
    assert "10 °C" in found["method.interval"].worked


def test_an_interval_planned_for_two_temperatures(lost):
    two = with_answers(right_work({20: CLUB[20], 40: CLUB[40]}), METHOD, interval="30 °C")
    assert "method.interval" in lost(two)


@pytest.mark.parametrize("noted", [(22, 31, 40, 49, 59), (20, 28.5, 41, 50, 60.5)])
def test_temperatures_that_came_out_near_the_plan_keep_its_interval(noted, lost):
    near = dict(zip(noted, CLUB.values(), strict=True))
    work = with_answers(
        right_work(near),
        METHOD,
        lowest_temperature="20 °C",
        highest_temperature="60 °C",
        interval="10 °C",
    )
    assert not {name for name in lost(work) if name.startswith("method.")}


@pytest.mark.parametrize(
    ("question", "text"),
    [
        ("repeats", "five"),
        ("repeats", "Five drops at each"),
        ("repeats", "5 times"),
        ("lowest_temperature", "20 degrees"),
        ("lowest_temperature", "20 oC"),
        ("highest_temperature", "60 deg C"),
        ("highest_temperature", "60⁰C"),
        ("interval", "every 10 degrees"),
        ("interval", "10 degree steps"),
    ],
)
def test_a_plan_in_a_pupils_spelling_is_right(question, text, lost):
    assert lost(with_answers(right_work(), METHOD, **{question: text})) == {}


def test_words_for_another_number_of_drops(only):
    only(with_answers(right_work(), METHOD, repeats="six"), "method.repeats")


def test_more_drops_than_planned_are_no_fault(lost):
    assert lost(with_answers(right_work(), METHOD, repeats="3")) == {}


def test_struck_out_trials_do_not_count_against_the_plan(lost):
    trials = tuple(RoughLine(at, 30.0, 0, struck_out=True) for at in (48.0, 54.5, 66.6))
    work = right_work()
    assert lost(replace(work, rough=(*trials, *work.rough))) == {}


def test_struck_out_readings_count_for_the_plan(lost):
    work = right_work()
    rough = tuple(replace(one, struck_out=one.temperature_c == 60.0) for one in work.rough)
    assert not {name for name in lost(replace(work, rough=rough)) if name.startswith("method.")}
    once = replace(work, rough=(replace(work.rough[0], struck_out=True), *work.rough[1:]))
    assert "method.repeats" not in lost(once)


def test_nearer_to_the_plan_than_to_the_next_step_is_near_enough(lost):
    assert lost(with_answers(right_work(), METHOD, lowest_temperature="15.5 °C")) == {}
    assert set(lost(with_answers(right_work(), METHOD, lowest_temperature="14.5 °C"))) == {
        "method.lowest"
    }


def test_a_plan_without_a_unit(only):
    assert (
        "'interval'"
        in only(with_answers(right_work(), METHOD, interval="10"), "method.units").where
    )


# Conclusion


def test_a_read_off_may_be_half_a_small_square_out(only):
    work = right_work()
    (x, y), (x_end, y_end) = work.graph.line
    exact = y + (40 - x) * (y_end - y) / (x_end - x)
    small = work.graph.axes["up"].large_square / 10
    for squares in (-0.45, 0.45):
        near = with_answers(work, CONCLUSION, read_off=f"{exact + squares * small:.2f} cm")
        assert verdicts(near)["conclusion.read-off"] is Verdict.RIGHT
    for squares in (-0.6, 0.6):
        far = with_answers(work, CONCLUSION, read_off=f"{exact + squares * small:.2f} cm")
        assert only(far, "conclusion.read-off").worked.endswith(" cm.")


def test_read_off_and_gradient_are_held_against_the_own_line():
    work = right_work()
    (x, y), (x_end, y_end) = work.graph.line
    low = with_graph(work, line=((x, y - 5), (x_end, y_end - 5)))
    assert set(not_right(low)) == {"conclusion.read-off"}
    mended = with_answers(low, CONCLUSION, read_off=f"{36.25 - 5} cm")
    assert not_right(mended) == {}
    steep = with_graph(work, line=((x, y), (x_end, y_end + 20)))
    assert "conclusion.gradient" in not_right(steep)


def test_swapped_axes_leave_the_answers_right():
    work = right_work()
    graph = work.graph
    turned = with_graph(
        work,
        axes={"across": graph.axes["up"], "up": graph.axes["across"]},
        line=tuple((y, x) for x, y in graph.line),
        crosses=tuple((y, x) for x, y in graph.crosses),
    )
    assert not_right(turned) == {}


@pytest.mark.parametrize(
    ("question", "text", "criterion"),
    [
        ("read_off", "36.25", "conclusion.read-off-unit"),
        ("read_off", "36.25 °C", "conclusion.read-off-unit"),
        ("gradient", "0.62", "conclusion.gradient-unit"),
        ("gradient", "0.62 cm", "conclusion.gradient-unit"),
        ("gradient", "0.62 m/°C", "conclusion.gradient-unit"),
        ("gradient", "0.62 °C/cm", "conclusion.gradient-unit"),
    ],
)
def test_a_unit_that_is_missing_or_does_not_belong(question, text, criterion):
    found = not_right(with_answers(right_work(), CONCLUSION, **{question: text}))
    assert set(found) == {criterion}


@pytest.mark.parametrize(
    ("question", "text"),
    [
        ("gradient", "0.62 cm each degree"),
        ("gradient", "1 °C = 0.62 cm"),
        ("gradient", "1 degree gives 0.62 cm"),
        ("gradient", "6.2 cm per 10 °C"),
        ("gradient", "24.8 ÷ 40 = 0.62 cm/oC"),
        ("read_off", "36.2 ± 1 cm"),
        ("read_off", "36.2 +/- 0.5 cm"),
        ("read_off", "at 40 °C → 36.2 cm"),
    ],
)
def test_a_value_of_the_line_in_a_pupils_spelling_is_right(question, text):
    assert not_right(with_answers(right_work(), CONCLUSION, **{question: text})) == {}


@pytest.mark.parametrize(
    ("question", "text", "criterion"),
    [
        ("gradient", "1 °C = 0.70 cm", "conclusion.gradient"),
        ("gradient", "0.62 cm per 10 °C", "conclusion.gradient"),
        ("gradient", "0.70 cm each degree", "conclusion.gradient"),
        ("read_off", "39.0 ± 1 cm", "conclusion.read-off"),
        ("read_off", "36.2 ± 1", "conclusion.read-off-unit"),
    ],
)
def test_a_wrong_value_in_such_a_spelling_stays_wrong(question, text, criterion, only):
    only(with_answers(right_work(), CONCLUSION, **{question: text}), criterion)


def test_slips_of_a_gradient_are_named(only):
    over = only(
        with_answers(right_work(), CONCLUSION, gradient="1.62 cm/°C"), "conclusion.gradient"
    )
    assert "run over rise" in over.nudge
    other = only(
        with_answers(right_work(), CONCLUSION, gradient="0.70 cm/°C"), "conclusion.gradient"
    )
    assert "0.62" in other.worked
    assert "0.62" not in other.nudge


@pytest.mark.parametrize(
    ("question", "text"), [("gradient", "0.6175 cm/°C"), ("read_off", "36.213 cm")]
)
def test_more_figures_than_a_graph_gives(question, text, only):
    only(with_answers(right_work(), CONCLUSION, **{question: text}), "conclusion.rounding")


def test_without_a_line_the_answers_go_to_the_teacher():
    found = not_right(with_graph(right_work(), line=()))
    assert set(found.values()) == {Verdict.TEACHER}
    assert set(found) == {"conclusion.read-off", "conclusion.gradient"}


# Evaluation


@pytest.mark.parametrize(
    "text",
    [
        *("1 cm", "1.0 cm", "10 mm", "0.010 m", "± 1.0 cm", "36.2 ± 1 cm", "36.2 cm +/- 1.0 cm"),
        *("range 2, so 1 cm", "(37 - 35) / 2 = 1 cm", "range 2 cm therefore ±1 cm", "2 ÷ 2 → 1 cm"),
    ],
)
def test_the_half_range_in_many_spellings(text):
    assert not_right(half_range(right_work(), text)) == {}


def half_range(work, text):
    return replace(work, answers={**work.answers, (EVALUATION, "half-range"): text})


def test_the_whole_range_is_named(only):
    remark = only(half_range(right_work(), "2 cm"), "evaluation.half-range")
    assert "whole range" in remark.nudge
    assert "1.0 cm" in remark.worked


def test_a_half_range_rounds_half_up():
    rough = tuple(replace(r, height_cm=34.0) if r.height_cm == 35 else r for r in rough_of(CLUB))
    work = with_cells(replace(right_work(), rough=rough), {(3, 3): "34"})
    for text, verdict in (
        ("1.5 cm", Verdict.RIGHT),
        ("2 cm", Verdict.RIGHT),
        ("1 cm", Verdict.WRONG),
    ):
        assert verdicts(half_range(work, text))["evaluation.half-range"] is verdict


def test_repeats_that_agree_leave_half_a_graduation_or_nothing():
    same = {**CLUB, 40: (36, 36, 36, 36, 36)}
    for text, verdict in (
        ("0 cm", Verdict.RIGHT),
        ("0.5 cm", Verdict.RIGHT),
        ("1.5 cm", Verdict.WRONG),
    ):
        work = half_range(right_work(same), text)
        assert verdicts(work)["evaluation.half-range"] is verdict


def test_a_half_range_of_miscopied_readings_is_carried():
    work = half_range(with_cells(right_work(), {(3, 3): "31"}), "3.0 cm")
    assert not_right(work) == {"evaluation.half-range": Verdict.CARRIED}


def test_half_range_without_unit_or_with_too_many_places(only):
    only(half_range(right_work(), "1.0"), "evaluation.half-range-unit")
    only(half_range(right_work(), "1.000 cm"), "evaluation.rounding")


# Energy


@pytest.mark.parametrize(
    ("question", "text"),
    [
        ("height_before", "100"),
        ("height_before", "100 cm"),
        ("height_before", "1.00 cm"),
        ("height_after", "36.2"),
        ("height_after", "36.2 cm"),
        ("height_after", "3.62"),
    ],
)
def test_the_centimetre_to_metre_slip_is_named_and_costs_one_mark(question, text, only):
    name = question.replace("_", "-")
    remark = only(with_answers(right_work(), ENERGY, **{question: text}), f"energy.{name}")
    assert remark.nudge == CONVERSION


def test_an_energy_from_an_unconverted_height_is_carried():
    work = with_answers(
        right_work(),
        ENERGY,
        height_before="100",
        height_after="36.2",
        energy_before="23.5 J",
        energy_after="8.52 J",
        energy_transferred="15.0 J",
    )
    found = not_right(work)
    assert {name for name, v in found.items() if v is Verdict.WRONG} == {
        "energy.height-before",
        "energy.height-after",
    }
    assert set(found.values()) == {Verdict.WRONG, Verdict.CARRIED}


@pytest.mark.parametrize(
    ("before", "after", "lost", "nudge"),
    [("23.5 J", "8.52 J", "15.0 J", CONVERSION), ("235 J", "85.2 J", "150 J", GRAMS)],
)
def test_a_slip_of_an_energy_is_named_and_costs_one_mark(before, after, lost, nudge):
    work = with_answers(
        right_work(), ENERGY, energy_before=before, energy_after=after, energy_transferred=lost
    )
    remarks = {
        one.criterion: one
        for one in numeric(work, METHOD, CONCLUSION, EVALUATION, ENERGY)
        if not one.earned
    }
    assert set(remarks) == {"energy.before"}
    assert remarks["energy.before"].nudge == nudge


@pytest.mark.parametrize("prefix", ["k", "m"])
@pytest.mark.parametrize(
    "questions",
    [
        ("energy_before",),
        ("energy_after",),
        ("energy_transferred",),
        ("energy_before", "energy_after", "energy_transferred"),
    ],
)
def test_a_wrong_prefix_costs_its_own_mark_alone(prefix, questions, lost):
    answers = right_work().answers
    wrong = {
        one: answers[ENERGY, one.replace("_", " ")].replace(" J", f" {prefix}J")
        for one in questions
    }
    found = lost(with_answers(right_work(), ENERGY, **wrong))
    assert set(found) == {f"energy.{one.removeprefix('energy_')}-unit" for one in questions}


def test_a_wrong_own_mean_is_carried_through_the_energies():
    work = with_cells(right_work(), {(3, 6): "39.2"})
    after = 0.024 * 9.81 * 0.392
    work = with_answers(
        work,
        ENERGY,
        height_after="0.392 m",
        energy_after=f"{after:.4f} J",
        energy_transferred=f"{0.23544 - after:.3f} J",
        efficiency="39.2 %",
    )
    found = not_right(work)
    assert set(found.values()) == {Verdict.CARRIED}
    assert set(found) == {
        "energy.height-after",
        "energy.after",
        "energy.transferred",
        "energy.efficiency",
    }


def test_two_values_of_g_in_one_piece_of_work(only):
    after = 0.024 * 10 * 0.362
    before = 0.024 * 9.81
    work = with_answers(
        right_work(),
        ENERGY,
        energy_after=f"{after:.4f} J",
        energy_transferred=f"{before - after:.3f} J",
        efficiency=f"{100 * after / before:.1f} %",
    )
    assert "g" in only(work, "energy.after").nudge.split()


@pytest.mark.parametrize(
    ("text", "said"),
    [("0.362", "fraction"), ("276 %", "before divided by after"), ("63.8 %", "lost"), ("45 %", "")],
)
def test_slips_of_the_efficiency_are_named(text, said, only):
    assert (
        said in only(with_answers(right_work(), ENERGY, efficiency=text), "energy.efficiency").nudge
    )


@pytest.mark.parametrize("question", ["energy_before", "energy_after", "energy_transferred"])
def test_an_energy_without_unit(question, only):
    name = question.removeprefix("energy_")
    text = right_work().answers[ENERGY, question.replace("_", " ")].removesuffix(" J")
    only(with_answers(right_work(), ENERGY, **{question: text}), f"energy.{name}-unit")
    only(with_answers(right_work(), ENERGY, **{question: f"{text} N"}), f"energy.{name}-unit")


@pytest.mark.parametrize("text", ["0.2 J", "0.2354 J"])
def test_figures_that_mass_and_heights_do_not_justify(text, lost):
    found = lost(with_answers(right_work(), ENERGY, energy_before=text, efficiency="36.2 %"))
    assert set(found) == {"energy.rounding"}


def test_another_mass_and_drop_height_are_reckoned_with():
    assert not_right(right_work(drop_cm=80.0, mass_g=23.2)) == {}


def test_answers_that_cannot_be_read_go_to_the_teacher():
    found = not_right(
        with_answers(
            right_work(), ENERGY, energy_before="a quarter of a joule", efficiency="36.2 %"
        )
    )
    assert set(found.values()) == {Verdict.TEACHER}
    assert set(found) == {"energy.before", "energy.before-unit"}


# The temperature picked


def test_the_middle_temperature_with_two_readings_is_picked():
    assert Study(right_work()).named_c == 40
    assert Study(replace(right_work(), rough=None)).named_c == 40
    four = {t: h for t, h in CLUB.items() if t != 20}
    assert Study(right_work(four)).named_c == 40
    lonely = {**CLUB, 40: (36,)}
    assert Study(Work(rough=rough_of(lonely))).named_c == 30


def test_a_struck_out_reading_is_not_one_of_two():
    rough = (RoughLine(20.0, 24.0), RoughLine(20.0, 25.0, struck_out=True))
    assert math.isnan(Study(Work(rough=rough)).named_c)
    assert Study(Work(rough=(*rough, RoughLine(20.0, 23.0)))).named_c == 20


def test_work_without_readings_leaves_answers_to_the_teacher():
    work = Work(answers=right_work().answers, rough=())
    found = verdicts(work)
    assert found["evaluation.half-range"] is Verdict.TEACHER
    assert found["energy.after"] is Verdict.TEACHER
    assert found["energy.before"] is Verdict.RIGHT


def test_blank_work_is_missing_throughout():
    assert set(verdicts(Work(rough=())).values()) == {Verdict.MISSING}


def test_a_steeper_scale_widens_what_a_read_off_may_be_out():
    work = with_axis(right_work(), "up", large_square=10.0, start=0.0)
    near = with_answers(work, CONCLUSION, read_off="36.6 cm")
    assert verdicts(near)["conclusion.read-off"] is Verdict.RIGHT
    assert (
        verdicts(with_answers(right_work(), CONCLUSION, read_off="36.6 cm"))["conclusion.read-off"]
        is Verdict.WRONG
    )
