"""The pages of the exercise book: by keyboard alone, kept as written, feedback in two stages."""

from dataclasses import replace
from functools import reduce
from itertools import chain

import pygame as K
import pytest

from analysis.marking import questions as registry
from analysis.marking.mark import mark
from analysis.marking.question import NUMBER, AnswerForm, Question, Room
from analysis.marking.reading_sets import reading_sets
from analysis.quantity.units import ZERO_CELSIUS_K
from sim import actions as act
from sim.bench.model.after import KEPT_EVERY_S, PAGES, passed_by
from sim.bench.model.desk import PAPER
from sim.bench.model.pages.readings_pages import cell_name, size_of
from sim.bench.ui.blocks import PaperPoint, Words, focus_order
from sim.bench.ui.fields import TextLine
from sim.marking import work_of
from sim.practical import apply
from tests.bench.books import (
    FULL,
    ORDER,
    PERFORMED,
    SETUP,
    WRITTEN,
    enter,
    focus,
    move,
    open_page,
    press,
    sitting,
)
from tests.bench.hands import click, key, keys, place_of
from tests.sim.steps import replay


def by_keys(at, action):
    """What an action writes or draws, done with keys on the page that is open."""
    match action:
        case act.WriteAnswer(page, question, words):
            enter(at, f"{page}.{question}", words)
        case act.WriteCell(row, column, words):
            enter(at, cell_name(row, column), words)
        case act.SetAxis(axis, title, start, square):
            enter(at, f"Graph.{axis} title", title)
            enter(at, f"Graph.{axis} start", f"{start:g}")
            enter(at, f"Graph.{axis} large square", f"{square:g}")
        case act.PlotPoint(across, up):
            plot(at, (across, up))
        case act.LayLine(points):
            press(at, "Graph.line")
            for point in points:
                plot(at, point)


def plot(at, values):
    from sim.bench.model.pages.graph_page import axes_of

    focus(at, PAPER)
    place = axes_of(at.desk.state).place(values)
    move(at, PaperPoint(round(place.across, 1), round(place.up, 1)))
    key(at, K.K_RETURN)


def page_of(action):
    if isinstance(action, act.WriteAnswer):
        return action.page
    return "Results table" if isinstance(action, act.WriteCell) else "Graph"


def test_the_whole_book_by_keyboard_alone_gets_full_marks_and_replays():
    at = sitting()
    for page in ORDER:
        open_page(at, page)
        for action in WRITTEN:
            if page_of(action) == page:
                by_keys(at, action)
    open_page(at, "Hazards")
    book = at.desk.state.book
    assert book.cells == FULL.book.cells
    assert book.axes == FULL.book.axes
    assert FULL.book.answers.items() <= book.answers.items()
    for drawn, meant in zip(
        chain(book.crosses, book.line), chain(FULL.book.crosses, FULL.book.line), strict=True
    ):
        assert drawn == pytest.approx(meant, abs=0.03)
    feedback = mark(work_of(at.desk.state))
    assert feedback.earned == feedback.out_of, [r for r in feedback.remarks if not r.earned]
    everything = (*PERFORMED.actions, *at.keeper.actions)
    assert replay(SETUP, everything).book == book


@pytest.mark.parametrize("page", ORDER)
def test_tab_comes_to_everything_on_a_page_and_shift_tab_back(page):
    at = sitting(FULL)
    open_page(at, page)
    names = focus_order(PAGES[page].blocks(at.desk))
    assert names
    for name in names:
        key(at, K.K_TAB)
        assert at.desk.focus == name
        seen = at.seen()
        frame = seen.sheet.frame(name).box
        assert at.scroll_px <= frame.y
        assert frame.bottom <= at.scroll_px + seen.view.height
    key(at, K.K_TAB, K.KMOD_SHIFT)
    assert at.desk.focus == names[-2]


def test_the_pages_stand_in_the_order_of_the_work():
    assert ORDER == [
        "Hazards",
        "Method",
        "Rough readings",
        "Results table",
        "Graph",
        "Conclusion",
        "Evaluation",
        "Energy",
        "Hand in",
    ]


def test_the_table_begins_empty_and_nothing_is_filled_in():
    at = sitting()
    open_page(at, "Results table")
    cells = [name for name in at.desk.fields if name.startswith("Results table.")]
    assert len(cells) == 6 * 7
    assert all(at.desk.fields[name].text == "" for name in cells)


def test_arrows_and_return_go_from_cell_to_cell():
    at = sitting()
    open_page(at, "Results table")
    enter(at, cell_name(1, 1), "23.0")
    key(at, K.K_LEFT)
    assert at.desk.focus == cell_name(1, 1)
    key(at, K.K_END)
    key(at, K.K_RIGHT)
    assert at.desk.focus == cell_name(1, 2)
    key(at, K.K_LEFT)
    assert at.desk.focus == cell_name(1, 1)
    key(at, K.K_DOWN)
    assert at.desk.focus == cell_name(2, 1)
    key(at, K.K_UP)
    key(at, K.K_UP)
    key(at, K.K_UP)
    assert at.desk.focus == cell_name(0, 1)
    key(at, K.K_RETURN)
    assert at.desk.focus == cell_name(1, 1)
    assert at.desk.state.book.cells == {(1, 1): "23.0"}


def test_rows_and_columns_can_be_added_and_are_there_again():
    at = sitting()
    open_page(at, "Results table")
    press(at, "Results table.add row")
    press(at, "Results table.add column")
    enter(at, cell_name(6, 7), "x")
    key(at, K.K_TAB)
    assert size_of(at.desk.state.book) == (7, 8)
    again = sitting(at.desk.state)
    open_page(again, "Results table")
    assert again.desk.fields[cell_name(6, 7)].text == "x"


def test_a_cell_is_written_by_the_mouse():
    at = sitting()
    open_page(at, "Results table")
    click(at, place_of(at, cell_name(2, 3)))
    at.event(K.Event(K.TEXTINPUT, text="31.5"))
    click(at, place_of(at, cell_name(0, 0)))
    assert at.desk.state.book.cells == {(2, 3): "31.5"}


def test_the_rough_readings_stand_beside_the_table_to_be_copied():
    at = sitting(apply(PERFORMED.end, act.StrikeReading(0, "the ball hit the clamp")))
    open_page(at, "Results table")
    words = " ".join(line.text for placed in at.seen().sheet.placed for line in placed.lines)
    for line in PERFORMED.end.rough:
        assert f"{line.height_m * 100:.1f}" in words
    assert "(struck out)" in words


def test_a_thermometer_read_again_between_the_repeats_gives_one_row_and_one_set():
    first, *others = PERFORMED.end.rough[:3]
    noted = [replace(first, temperature_k=ZERO_CELSIUS_K + 40.2)]
    noted += [
        replace(one, temperature_k=ZERO_CELSIUS_K + noted_c)
        for one, noted_c in zip(others, (39.6, 39.2), strict=True)
    ]
    astray = replace(first, temperature_k=ZERO_CELSIUS_K + 38.9, struck_out="wet")
    at = sitting(replace(PERFORMED.end, rough=(*noted, astray)))
    open_page(at, "Results table")
    words = " ".join(line.text for placed in at.seen().sheet.placed for line in placed.lines)
    read = ",  ".join(f"{one.height_m * 100:.1f}" for one in noted)
    assert f"39.2 to 40.2 °C {read},  {first.height_m * 100:.1f} (struck out)" in words
    (one,) = reading_sets(work_of(at.desk.state).rough)
    assert (len(one.standing_cm), len(one.struck_out_cm)) == (3, 1)
    assert (one.low_c, one.high_c) == (39.2, 40.2)


@pytest.mark.parametrize(
    ("page", "name"),
    [
        ("Hazards", "Hazards.hazard 1"),
        ("Method", "Method.reason 1"),
        ("Results table", cell_name(0, 0)),
        ("Graph", "Graph.across title"),
        ("Conclusion", "Conclusion.relationship"),
        ("Evaluation", "Evaluation.resolution"),
        ("Energy", "Energy.where it went"),
    ],
)
def test_what_is_being_typed_is_kept_within_seconds(page, name):
    at = sitting()
    open_page(at, page)
    focus(at, name)
    at.event(K.Event(K.TEXTINPUT, text="half a wor"))
    before = at.desk.state.book
    for _ in range(round(KEPT_EVERY_S * 60) + 1):
        at._do(passed_by(at.desk, 1.0 / 60.0))
    book = at.desk.state.book
    assert book != before
    assert "half a wor" in (*book.cells.values(), *book.answers.values())
    assert at.desk.focus == name
    again = sitting(replay(SETUP, (*PERFORMED.actions, *at.keeper.actions)))
    assert again.desk.fields[name].text == "half a wor"
    assert KEPT_EVERY_S <= 5.0


def test_keeping_leaves_the_words_at_the_foot_alone():
    at = sitting()
    at.desk = at.desk.saying("Read me.")
    open_page(at, "Method")
    at.desk = at.desk.saying("Read me.")
    enter(at, "Method.repeats", "5")
    for _ in range(round(KEPT_EVERY_S * 60) + 1):
        at._do(passed_by(at.desk, 1.0 / 60.0))
    assert at.desk.note.text == "Read me."


def test_return_goes_on_to_the_next_question_and_then_to_feedback():
    at = sitting()
    open_page(at, "Energy")
    focus(at, "Energy.height before")
    key(at, K.K_RETURN)
    assert at.desk.focus == "Energy.height after"
    focus(at, "Energy.efficiency")
    key(at, K.K_RETURN)
    assert at.desk.focus == "Energy.feedback"


def test_a_scale_of_nothing_is_no_axis():
    at = sitting()
    open_page(at, "Graph")
    enter(at, "Graph.across title", "temperature / °C")
    enter(at, "Graph.across start", "20")
    enter(at, "Graph.across large square", "0")
    key(at, K.K_TAB)
    assert not at.desk.state.book.axes
    enter(at, "Graph.across large square", "5")
    key(at, K.K_TAB)
    assert at.desk.state.book.axes["across"].large_square == 5.0


def test_axes_that_were_only_set_stand_in_their_fields():
    at = sitting(FULL)
    scale = FULL.book.axes["up"]
    assert at.desk.fields["Graph.up title"].text == scale.title
    assert at.desk.fields["Graph.up start"].value == scale.start
    assert at.desk.fields["Graph.up large square"].value == scale.large_square
    open_page(at, "Graph")
    open_page(at, "Method")
    assert at.desk.state.book.axes == FULL.book.axes


def test_a_field_begins_with_what_the_book_holds():
    at = sitting(FULL)
    for (page, question), words in FULL.book.answers.items():
        name = f"{page}.{question}"
        field = at.desk.fields.get(name)
        assert isinstance(field, TextLine)
        assert field.text == words


ADDED = [
    *(
        (page, AnswerForm(form), part)
        for page in ("Hazards", "Method", "Conclusion", "Evaluation", "Energy")
        for form, part in (("words", ""), ("quantity", "One part more"), ("sentences", ""))
    ),
    ("Graph", AnswerForm("words"), ""),
    ("Graph", AnswerForm("words"), "up"),
    ("Graph", NUMBER, "across"),
]


@pytest.mark.parametrize("scale", [1.0, 1.5])
@pytest.mark.parametrize(("page", "answer", "part"), ADDED)
def test_a_question_added_to_the_registry_alone_is_shown_reached_and_kept(
    monkeypatch, page, answer, part, scale
):
    asked = Question(page, "added", "What else?", answer, "12", room=Room(2, 2), part=part)
    more = {**registry.QUESTIONS_OF, page: (*registry.QUESTIONS_OF[page], asked)}
    monkeypatch.setattr(registry, "QUESTIONS_OF", more)
    at = sitting(FULL)
    at.desk = replace(at.desk, text_scale=scale)
    open_page(at, page)
    enter(at, f"{page}.added", "12")
    seen = at.seen()
    placed = next(p for p in seen.sheet.placed if seen.sheet.frame(f"{page}.added") in p.frames)
    words = " ".join(line.text for line in placed.lines).replace("\u00a0", " ")
    assert "What else?" in words
    headings = [p.source for p in seen.sheet.placed if isinstance(p.source, Words)]
    assert all(heading.text for heading in headings)
    box = seen.sheet.frame(f"{page}.added").box
    assert 0 <= box.x < box.right <= seen.sheet.width_px
    assert at.scroll_px <= box.y < box.bottom <= at.scroll_px + seen.view.height
    assert min(box.width, box.height) >= 24
    key(at, K.K_TAB)
    assert at.desk.state.book.answers[page, "added"] == "12"
    again = sitting(reduce(apply, at.keeper.actions, FULL))
    assert again.desk.fields[f"{page}.added"].text == "12"


def test_the_wheel_still_moves_the_page_while_a_field_is_written_in():
    at = sitting(FULL)
    open_page(at, "Evaluation")
    key(at, K.K_TAB)
    at.event(K.Event(K.MOUSEWHEEL, x=0, y=-8))
    assert at.scroll_px > 200
    keys(at, K.K_a)
    at.event(K.Event(K.TEXTINPUT, text="3"))
    assert at.scroll_px < 200
