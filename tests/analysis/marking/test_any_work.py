"""Whatever a student writes, the marking answers with remarks, never with an exception."""

import random
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from analysis.marking.mark import PAGES, handed_in, mark, mark_page
from analysis.marking.questions import ANSWERED, EVALUATION, HAZARDS, METHOD, TABLE
from analysis.marking.study import Study
from analysis.marking.work import Axis, Graph, RoughLine, Work
from tests.analysis.marking.right_work import right_work, with_cells, with_graph

PIECES = ["temperature / °C", "h1 (cm)", "mean", "20", "1e3 cm", "-5", "24.5*", "°C", "/", "x", "K"]
TEXT = st.one_of(
    st.sampled_from(PIECES), st.text(max_size=12), st.floats().map(str), st.integers().map(str)
)
NUMBER = st.one_of(st.floats(), st.sampled_from([0.0, 20.0, 40.0, -1.0]), st.floats(0, 60))
PAIR = st.tuples(NUMBER, NUMBER)
AXIS = st.builds(Axis, TEXT, NUMBER, NUMBER)
ROUGH = st.builds(
    RoughLine,
    st.sampled_from([20.0, 20.5, 40.0]),
    st.integers(0, 60).map(float),
    st.integers(0, 2),
    st.booleans(),
)
QUESTION = st.sampled_from(list(ANSWERED))
WORKS = st.builds(
    Work,
    cells=st.dictionaries(st.tuples(st.integers(0, 4), st.integers(0, 4)), TEXT, max_size=25),
    graph=st.one_of(
        st.none(),
        st.builds(
            Graph,
            st.fixed_dictionaries({}, optional={"across": AXIS, "up": AXIS}),
            st.lists(PAIR, max_size=4).map(tuple),
            st.lists(PAIR, max_size=4).map(tuple),
        ),
    ),
    answers=st.dictionaries(QUESTION, TEXT, max_size=20),
    rough=st.one_of(st.none(), st.lists(ROUGH, max_size=8).map(tuple)),
)


WHOLE = mark(Work(rough=()))
"""Nothing handed in at the bench: every criterion is asked for."""


@given(WORKS)
def test_any_work_is_marked(work):
    remarks = mark(work).remarks
    for page in handed_in(work):
        from_rough = 2 if page == TABLE and work.rough is None else 0
        assert len(mark(work).of_page(page)) == len(WHOLE.of_page(page)) - from_rough
    names = [one.criterion for one in remarks]
    assert len(set(names)) == len(names)
    assert all(one.nudge for one in remarks if not one.earned)


SAID = {at: one.right for at, one in ANSWERED.items() if isinstance(one.right, str)}
TEXTS = [*SAID.values(), "", "It is repeatable: the half-range is 0.5 cm.", "2.5 cm", "No"]


def changed(moments, work):
    """The work after something a student does between two askings for feedback."""
    asked, text = moments.choice(list(ANSWERED)), moments.choice(TEXTS)
    struck = moments.choice(range(len(work.rough)))
    return moments.choice(
        [
            replace(work, answers={**work.answers, asked: text}),
            replace(work, answers={**work.answers, asked: SAID.get(asked, "5")}),
            with_cells(work, {moments.choice(list(work.cells)): "21"}),
            with_graph(work, line=work.graph.line[: moments.randint(0, 2)]),
            replace(work, rough=(*work.rough[:struck], *work.rough[struck + 1 :])),
            replace(work, named_c=moments.choice([None, 20.0, 40.0])),
        ]
    )


@pytest.mark.parametrize("seed", range(12))
def test_a_work_that_is_marked_again_after_each_change_is_marked_as_if_anew(seed):
    moments = random.Random(seed)
    work = replace(right_work(), answers={**right_work().answers, **SAID})
    study = Study(work)
    for _ in range(8):
        pages = moments.sample(PAGES, k=4)
        anew = mark(work)
        assert {page: mark_page(study, page) for page in pages} == {
            page: anew.of_page(page) for page in pages
        }
        work = changed(moments, work)
        study = study.again(work)


@pytest.mark.parametrize("page", [HAZARDS, METHOD, EVALUATION])
def test_what_an_answer_earned_is_not_remembered_beside_other_answers(page):
    moments = random.Random(3)
    work = replace(right_work(), answers={**right_work().answers, **SAID})
    study = Study(work)
    asked = [at for at in ANSWERED if at[0] == page]
    texts = ["", "2.5 cm", "No", "Yes", "It is repeatable: the half-range is only 2.5 cm."]
    texts += [text for at, text in SAID.items() if at[0] == page]
    for _ in range(150):
        answers = {moments.choice(asked): moments.choice(texts) for _ in range(2)}
        work = replace(work, answers={**work.answers, **answers})
        study = study.again(work)
        assert mark_page(study, page) == mark_page(Study(work), page)


def test_a_reason_is_judged_anew_when_its_half_range_was_mended():
    reason = "The half-range is small, 2.2 cm"
    wrong = {"half-range": "2.2 cm", "repeatable": "Yes", "repeatable reason": reason}
    given = {**right_work().answers, **{(EVALUATION, name): text for name, text in wrong.items()}}
    study = Study(replace(right_work(), answers=given))
    first = mark_page(study, EVALUATION)
    mended = replace(right_work(), answers={**given, (EVALUATION, "half-range"): "1 cm"})
    again = mark_page(study.again(mended), EVALUATION)
    assert again == mark_page(Study(mended), EVALUATION)
    verdicts = [{r.criterion: r.verdict for r in remarks} for remarks in (first, again)]
    assert len({one["evaluation.repeatable reason"] for one in verdicts}) == 2
