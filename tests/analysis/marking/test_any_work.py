"""Whatever a student writes, the marking answers with remarks, never with an exception."""

from hypothesis import given
from hypothesis import strategies as st

from analysis.marking.mark import handed_in, mark
from analysis.marking.questions import ANSWERED, TABLE
from analysis.marking.work import Axis, Graph, RoughLine, Work

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
