"""Each question of the registry is asked, answered and marked, wherever one meets it."""

from functools import reduce

import pytest

from analysis.marking.mark import mark
from analysis.marking.questions import ANSWERED, GRAPH, HAZARDS, QUESTIONS_OF
from analysis.marking.sentences.criteria import load
from analysis.marking.study import Study
from analysis.marking.work import Verdict
from analysis.paper.document import EmptyTable, RuledLines
from analysis.workbook import workbook
from physics.reading import CAREFUL
from sim.bench.model.after import PAGES, desk_for
from sim.bench.ui.blocks import focus_order
from sim.marking import work_of
from sim.practical import apply
from sim.procedure import Procedure
from sim.state import Setup
from sim.student import perform
from tests.bookwork import book_actions

EVERY = [question for page in QUESTIONS_OF.values() for question in page]
each = pytest.mark.parametrize("asked", EVERY, ids=lambda one: f"{one.page}.{one.name}")


@pytest.fixture(scope="module")
def answered():
    """A practical whose book holds the registry's own right answers."""
    done = perform(Setup(seed=4), Procedure(observer=CAREFUL)).end
    return reduce(apply, book_actions(done), done)


@pytest.fixture(scope="module")
def fields(answered):
    desk = desk_for(answered)
    return {page: focus_order(PAGES[page].blocks(desk)) for page in QUESTIONS_OF}


@pytest.fixture(scope="module")
def remarks(answered):
    return {remark.criterion: remark for remark in mark(work_of(answered)).remarks}


@pytest.fixture(scope="module")
def on_paper():
    return [block for sheet in workbook().sections for block in sheet.blocks]


@each
def test_it_has_words_and_a_field_on_its_page(asked, fields):
    assert asked.words
    assert f"{asked.page}.{asked.name}" in fields[asked.page]


@each
def test_it_has_room_on_paper(asked, on_paper):
    if asked.page == HAZARDS:
        (table,) = (one for one in on_paper if getattr(one, "headings", ("",))[0] == "hazard")
        assert isinstance(table, EmptyTable)
        assert asked.name.rstrip(" 123") in " ".join(table.headings)
        assert int(asked.name[-1]) <= table.rows
    elif asked.page != GRAPH:  # there the axes of the sheet of graph paper are the room
        rooms = [one for one in on_paper if isinstance(one, RuledLines)]
        assert (asked.words, asked.room.paper) in {(one.question, one.lines) for one in rooms}


@each
def test_its_right_answer_earns_its_criterion_in_a_book_that_was_written_act_by_act(asked, remarks):
    if not asked.optional:
        assert remarks[asked.criterion].verdict is Verdict.RIGHT


def test_what_the_marking_holds_an_answer_against_is_shown_beside_it():
    asked = {(one.page, one.name): one for one in EVERY}
    for row in load().rows:
        before = asked[row.criterion.page, row.question].builds_on
        assert {row.fits, row.differs_from} - {""} <= set(before), row.criterion.name


OWN_RULES = {"same way", "line", "readings", "number"}
"""Rules of the criteria that hold words against the student's own readings or line."""


def test_what_is_held_against_the_own_work_shows_it_and_the_rest_does_not(answered):
    study, rows = Study(work_of(answered)), load().rows
    own = {(row.criterion.page, row.question) for row in rows if row.rule in OWN_RULES}
    assert len(own) == 4
    own |= {at for at, asked in ANSWERED.items() if not isinstance(asked.right, str)}
    assert {at for at, asked in ANSWERED.items() if asked.held_against(study)} == own
