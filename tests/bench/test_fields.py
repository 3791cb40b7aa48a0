"""Fields are values: each edit against what a plain string would do."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from sim.bench.ui.fields import (
    Cut,
    Erase,
    Motion,
    Move,
    NumberField,
    Paste,
    PlaceCaret,
    Reach,
    SelectAll,
    TextArea,
    TextLine,
    Typed,
    edited,
)
from sim.bench.ui.wrapping import wrapped
from tests.bench.measures import Square

LETTERS = st.text("abz ½°⁻λ", max_size=5)
STEPS = st.one_of(
    st.builds(Typed, LETTERS),
    st.builds(Paste, LETTERS),
    st.builds(Erase, st.sampled_from([Reach.BACK, Reach.FORWARD])),
    st.builds(
        Move,
        st.sampled_from([Motion.LEFT, Motion.RIGHT, Motion.LINE_START, Motion.LINE_END]),
        st.booleans(),
    ),
    st.builds(PlaceCaret, st.integers(-2, 30), st.booleans()),
    st.just(Cut()),
    st.just(SelectAll()),
)


def modelled(text, caret, anchor, edit):
    """The same edit on a plain string: text, caret and anchor (equal to the caret: none)."""
    low, high = sorted((caret, anchor))
    if isinstance(edit, (Typed, Paste)):
        put = edit.text[: 20 - len(text) + high - low]
        if not put:
            return text, caret, anchor
        return text[:low] + put + text[high:], low + len(put), low + len(put)
    if isinstance(edit, (Erase, Cut)):
        if low == high and isinstance(edit, Erase):
            low, high = (
                (max(low - 1, 0), low)
                if edit.reach is Reach.BACK
                else (low, min(low + 1, len(text)))
            )
        return (text[:low] + text[high:], low, low) if low < high else (text, caret, anchor)
    if isinstance(edit, SelectAll):
        return text, len(text), 0
    goal, select = _goal(text, (caret, low, high), edit)
    return text, goal, anchor if select else goal


def _goal(text, places, edit):
    caret, low, high = places
    if isinstance(edit, PlaceCaret):
        return min(max(edit.index, 0), len(text)), edit.select
    if low < high and not edit.select and edit.where in (Motion.LEFT, Motion.RIGHT):
        return (low if edit.where is Motion.LEFT else high), False
    goals = {
        Motion.LEFT: max(caret - 1, 0),
        Motion.RIGHT: min(caret + 1, len(text)),
        Motion.LINE_START: 0,
        Motion.LINE_END: len(text),
    }
    return goals[edit.where], edit.select


@settings(deadline=None)
@given(st.lists(STEPS, max_size=25))
def test_a_line_does_what_a_plain_string_would(steps):
    field, model = TextLine(longest=20), ("", 0, 0)
    for step in steps:
        field, model = edited(field, step), modelled(*model, step)
        text, caret, anchor = model
        assert (field.text, field.caret) == (text, caret)
        assert field.selected == text[min(caret, anchor) : max(caret, anchor)]
        assert len(field.text) <= 20


@settings(deadline=None)
@given(st.lists(STEPS, max_size=15))
def test_a_long_answer_without_paragraphs_is_edited_as_a_line_is(steps):
    line, area = TextLine(longest=20), TextArea(longest=20)
    for step in steps:
        line, area = edited(line, step), edited(area, step)
    assert (line.text, line.caret, line.anchor) == (area.text, area.caret, area.anchor)


def test_an_edit_that_changes_nothing_gives_the_same_field_back():
    field = TextLine.holding("abc")
    for edit in (Move(Motion.RIGHT), Erase(Reach.FORWARD), Typed(""), Cut(), Move(Motion.UP)):
        assert edited(field, edit) is field


def test_a_step_to_the_side_leaves_a_selection_at_that_end():
    field = TextLine.holding("half-range").placed(2).placed(6, select=True)
    assert [field.moved(where).caret for where in (Motion.LEFT, Motion.RIGHT)] == [2, 6]
    assert field.moved(Motion.LEFT).selected == ""
    assert field.moved(Motion.LEFT, select=True).selected == "lf-"


def test_words_are_passed_over_and_erased_whole():
    field = TextLine.holding("as the  temperature rises")
    assert field.moved(Motion.WORD_LEFT).caret == 20
    assert field.moved(Motion.WORD_LEFT).moved(Motion.WORD_LEFT).caret == 8
    assert field.erased(Reach.WORD_BACK).text == "as the  temperature "
    assert field.placed(2).moved(Motion.WORD_RIGHT).caret == 6
    assert field.placed(2).erased(Reach.WORD_FORWARD).text == "as  temperature rises"


def test_line_breaks_become_spaces_in_a_line_and_stay_in_a_long_answer():
    assert TextLine().pasted("one\r\ntwo\nthree").text == "one two three"
    assert TextArea().pasted("one\r\ntwo\nthree").text == "one\ntwo\nthree"


def test_what_cannot_be_shown_is_not_taken():
    assert TextLine().typed("a\x00b\x1bc\ud800d\u00a0e\tf").text == "abcd e f"


def test_a_letter_and_its_accent_are_passed_and_erased_together():
    field = TextLine.holding("pe\u0301z")
    assert field.moved(Motion.LEFT).moved(Motion.LEFT).caret == 1
    assert field.placed(3).erased(Reach.BACK).text == "pz"


def test_composed_characters_arrive_whole():
    assert TextLine().typed("温度").typed("é").text == "温度é"


def test_cut_text_is_what_was_selected():
    field = TextLine.holding("half-range").placed(0).placed(4, select=True)
    assert field.selected == "half"
    assert field.cut().text == "-range"


def test_a_field_is_never_longer_than_it_may_be():
    assert TextLine(longest=4).typed("abcdef").text == "abcd"
    full = TextLine(longest=4).typed("abcd")
    assert full.typed("e") is full
    assert full.all_selected().typed("xyz").text == "xyz"


def test_a_caret_outside_the_text_is_refused():
    with pytest.raises(ValueError, match="place 4 lies outside a text of 3 letters"):
        TextLine("abc", caret=4)
    with pytest.raises(ValueError, match="place -1"):
        TextLine("abc", anchor=-1)


@pytest.mark.parametrize(
    ("typed", "text", "value", "places"),
    [
        ("30.5", "30.5", 30.5, 1),
        ("30,50", "30,50", 30.5, 2),
        ("-4", "-4", -4.0, 0),
        ("−4", "−4", -4.0, 0),
        ("about 31 cm", "31", 31.0, 0),
        ("1.2.3", "1.23", 1.23, 2),
        ("5-", "5", 5.0, 0),
        ("5.", "5.", 5.0, 0),
        (".5", ".5", 0.5, 1),
        ("٣١", "31", 31.0, 0),
        ("1²", "1", 1.0, 0),
        ("", "", None, 0),
        ("-", "-", None, 0),
        (".", ".", None, 0),
    ],
)
def test_a_number_field_takes_a_number_and_nothing_else(typed, text, value, places):
    field = NumberField().typed(typed)
    assert (field.text, field.value, field.decimal_places) == (text, value, places)


def test_a_pasted_number_is_taken_whole_or_not_at_all():
    field = NumberField.holding("12")
    assert field.all_selected().pasted(" 30.5\n").text == "30.5"
    for other in ("3e5", "30 cm", "1.000,5", "1" * 20):
        assert field.all_selected().pasted(other).text == "12"


@settings(deadline=None)
@given(st.lists(st.one_of(st.builds(Typed, st.text("0.,-+5e")), STEPS)))
def test_a_number_field_always_holds_a_number_or_the_beginning_of_one(steps):
    field = NumberField()
    for step in steps:
        field = edited(field, step)
        digits = [letter for letter in field.text if letter.isdigit()]
        assert (field.value is None) == (not digits)


# A long answer on lines of ten letters: each is 5 px wide at size 10.
MEASURE, SIZE, WIDE = Square(), 10, 50


def shown(area):
    return wrapped(area.text, MEASURE, SIZE, WIDE)


def pressed(area, *motions):
    for where in motions:
        area = edited(area, Move(where), shown(area))
    return area


AREA = TextArea.holding("one two three four\nfive\n\nsix seven eight")
# one two  / three four / five / (empty) / six seven  / eight


def test_up_and_down_keep_to_the_column_over_short_lines():
    area = AREA.placed(13)  # th|ree ...: "three" begins at 8, so five letters along
    assert pressed(area, Motion.DOWN).caret == 23  # the end of "five"
    assert pressed(area, Motion.DOWN, Motion.DOWN).caret == 24
    assert pressed(area, Motion.DOWN, Motion.DOWN, Motion.DOWN).caret == 30
    back = pressed(area, *[Motion.DOWN] * 3, *[Motion.UP] * 3)
    assert back.caret == 13


def test_a_move_to_the_side_sets_a_new_column():
    area = pressed(AREA.placed(13), Motion.DOWN, Motion.LEFT, Motion.DOWN, Motion.DOWN)
    assert area.caret == 28


def test_up_from_the_first_line_goes_to_its_start_and_then_nowhere():
    assert pressed(AREA.placed(3), Motion.UP).caret == 0
    assert pressed(AREA.placed(0), Motion.UP) == AREA.placed(0)
    assert pressed(AREA.placed(36), Motion.DOWN).caret == len(AREA.text)


def test_home_and_end_go_by_the_lines_that_are_seen():
    assert pressed(AREA.placed(10), Motion.LINE_START).caret == 8
    assert pressed(AREA.placed(2), Motion.LINE_END).caret == 7  # before the space at the break
    assert pressed(AREA.placed(10), Motion.LINE_END).caret == 18
    assert pressed(AREA.placed(2), Motion.TEXT_END).caret == len(AREA.text)


def test_selecting_goes_over_lines():
    area = edited(AREA.placed(4), Move(Motion.DOWN, select=True), shown(AREA))
    assert area.selected == "two thre"


def test_lines_of_another_text_are_refused():
    with pytest.raises(ValueError, match="another text"):
        AREA.typed("x").moved_on(shown(AREA), Motion.DOWN)


@settings(deadline=None)
@given(st.text("ab \n", max_size=60), st.lists(st.sampled_from(Motion), max_size=12))
def test_no_motion_leaves_a_long_answer(text, motions):
    area = pressed(TextArea.holding(text), *motions)
    assert 0 <= area.caret <= len(text)
    assert area.text == text


@settings(deadline=None)
@given(st.text("ab \n", max_size=60))
def test_down_from_the_top_comes_to_the_end(text):
    area = TextArea.holding(text).placed(0)
    rows = len(shown(area).spans)
    assert pressed(area, *[Motion.DOWN] * rows).caret == len(text)
