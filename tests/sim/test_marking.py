"""The exercise book as work to be marked: what is handed over, and full marks for a full book."""

import sys
from dataclasses import replace
from functools import reduce

import pytest

from analysis.marking.mark import PAGES, mark, mark_page
from analysis.marking.questions import ANSWERED, EVALUATION, METHOD
from analysis.marking.study import Study
from analysis.marking.work import Verdict
from physics.reading import CAREFUL
from sim import actions as act
from sim.actions import NotPossible
from sim.marking import named_temperature, work_of
from sim.practical import apply
from sim.procedure import Procedure
from sim.state import Setup, beginning
from sim.student import perform
from tests.bookwork import book_actions, means_of
from tests.sim.steps import replay


def performed(seed=2, **plan):
    return perform(Setup(seed=seed), Procedure(observer=CAREFUL, **plan))


DONE = performed()
FULL = reduce(apply, book_actions(DONE.end), DONE.end)


@pytest.mark.parametrize("seed", [1, 5, 11])
@pytest.mark.parametrize(
    "plan",
    [
        {},
        {"reheat": True},
        {"repeats": 3, "temperatures_k": tuple(273.15 + c for c in (15, 25, 35, 45, 55, 65))},
    ],
)
def test_a_student_who_works_through_the_whole_book_correctly_gets_full_marks(seed, plan):
    done = performed(seed, **plan)
    state = reduce(apply, book_actions(done.end), done.end)
    feedback = mark(work_of(state))
    assert not [r for r in feedback.remarks if r.earned != r.marks]
    assert feedback.out_of == len(feedback.remarks) > 50
    assert not feedback.for_the_teacher


@pytest.mark.parametrize("seed", [1, 2, 3])
@pytest.mark.parametrize(("more", "verdict"), [(0, "right"), (1, "right"), (2, "not yet")])
def test_means_of_the_usual_reader_have_the_places_of_the_readings_or_one_more(seed, more, verdict):
    end = perform(Setup(seed=seed), Procedure()).end
    state = reduce(apply, book_actions(end), end)
    study = Study(work_of(state))
    column = max(column for _, column in state.book.cells)
    for row, one in enumerate(study.sets, start=1):
        mean_cm = sum(one.standing_cm) / len(one.standing_cm)
        cell = act.WriteCell(row, column, f"{mean_cm:.{study.reading_places + more}f}")
        state = apply(state, cell)
    found = {one.criterion: one.verdict.value for one in mark(work_of(state)).remarks}
    assert found["table.mean-places"] == verdict
    assert found["table.mean"] == "right"


@pytest.mark.parametrize(
    ("spoilt", "criterion"),
    [
        (act.WriteCell(0, 0, "temperature"), "table."),
        (act.WriteCell(3, 2, "50.0"), "table."),
        (act.RubOutPoint(0), "graph."),
        (act.WriteAnswer("Conclusion", "gradient", "9 cm/°C"), "conclusion.gradient"),
        (act.WriteAnswer("Energy", "where it went", ""), "energy.where it went"),
        (act.WriteAnswer("Method", "repeats", "50"), "method.repeats"),
        (act.WriteAnswer("Hazards", "risk 1", ""), "hazards.risk 1"),
    ],
)
def test_one_fault_costs_its_own_mark_on_its_own_page(spoilt, criterion):
    feedback = mark(work_of(apply(FULL, spoilt)))
    faults = [r.criterion for r in feedback.remarks if r.verdict not in _GOOD]
    assert faults
    assert all(fault.startswith(criterion) for fault in faults)


_GOOD = (Verdict.RIGHT, Verdict.CARRIED)


def test_every_answer_that_is_asked_for_is_written():
    asked = {which for which, question in ANSWERED.items() if not question.optional}
    assert asked <= set(FULL.book.answers)


def test_the_work_is_the_book_in_school_units():
    state = apply(DONE.end, act.StrikeReading(3, "misread"))
    work = work_of(state)
    assert work.rough is not None
    for line, kept in zip(work.rough, state.rough, strict=True):
        assert line.temperature_c == pytest.approx(kept.temperature_k - 273.15, abs=1e-6)
        assert line.height_cm == pytest.approx(kept.height_m * 100.0, abs=1e-6)
        assert line.decimal_places == kept.decimal_places
        assert line.struck_out == (kept.struck_out is not None)
    assert [line.struck_out for line in work.rough].count(True) == 1
    assert work.drop_height_cm == 100.0
    assert work.mass_g == pytest.approx(24.0)


def test_the_drop_height_is_that_of_the_marks():
    assert work_of(performed(drop_height_m=0.8).end).drop_height_cm == 80.0
    assert work_of(beginning(Setup(seed=1))).drop_height_cm == 100.0


def test_the_graph_is_handed_over_as_it_was_drawn():
    graph = work_of(FULL).graph
    assert graph is not None
    assert graph.crosses == FULL.book.crosses
    assert graph.line == FULL.book.line
    assert graph.axes["up"].title == FULL.book.axes["up"].title
    assert graph.axes["across"].large_square == FULL.book.axes["across"].large_square


def test_what_a_page_keeps_for_itself_is_no_answer():
    state = apply(DONE.end, act.WriteAnswer("Graph", "across start", "20"))
    state = apply(state, act.WriteAnswer("Results table", "rows", "8"))
    assert not work_of(state).answers


def test_tries_are_counted_by_page_and_replayed():
    actions = [
        act.AskForFeedback("Graph"),
        act.AskForFeedback("Energy"),
        act.AskForFeedback("Graph"),
    ]
    state = replay(Setup(seed=1), actions)
    assert work_of(state).tries == {"Graph": 2, "Energy": 1}


def test_a_record_made_by_hand_cannot_ask_for_endless_pages():
    state = replay(Setup(seed=1), [act.AskForFeedback(f"page {n}") for n in range(20)])
    assert apply(state, act.AskForFeedback("page 3")).book.tries["page 3"] == 2
    with pytest.raises(NotPossible, match="20 pages at most"):
        apply(state, act.AskForFeedback("another"))
    with pytest.raises(NotPossible, match="80 letters"):
        apply(state, act.AskForFeedback("x" * 81))


def test_remarks_on_a_page_are_those_of_the_whole_marking():
    whole = mark(work_of(FULL))
    for page in PAGES:
        assert mark_page(Study(work_of(FULL)), page) == whole.of_page(page)


def calls_to_mark(study, page):
    """How many functions the marking of a page calls."""
    calls = []

    def counted(_frame, event, _function):
        calls.append(event == "call")

    before = sys.getprofile()
    sys.setprofile(counted)
    mark_page(study, page)
    sys.setprofile(before)
    return sum(calls)


def test_feedback_on_a_page_takes_no_longer_for_the_sentences_on_the_others():
    here = {asked: text for asked, text in FULL.book.answers.items() if asked[0] == METHOD}
    alone = replace(FULL, book=replace(FULL.book, answers=here))
    mark(work_of(FULL))
    full, only = (calls_to_mark(Study(work_of(one)), METHOD) for one in (FULL, alone))
    assert full < 1.1 * only


def test_feedback_asked_for_again_marks_only_what_was_changed():
    study = Study(work_of(FULL))
    other = work_of(apply(FULL, act.WriteAnswer(EVALUATION, "inaccuracy 2", "the ball's mass")))
    for one in (study, Study(other)):
        mark_page(one, EVALUATION)
    again = calls_to_mark(study.again(other), EVALUATION)
    assert again < 0.5 * calls_to_mark(Study(other), EVALUATION)


def test_no_temperature_is_named_before_there_are_two_readings_at_one():
    assert named_temperature(beginning(Setup(seed=1))) == ""
    assert named_temperature(DONE.end) == "40 °C"


def test_the_student_of_the_book_knows_only_the_rough_page():
    first = [line.height_m * 100.0 for line in DONE.end.rough[:5]]
    mean = means_of(Study(work_of(DONE.end)))[0]
    assert float(mean) == pytest.approx(sum(first) / 5, abs=0.05)
