"""Pages by layout: nothing overlaps, nothing is wider than its place, all can be reached."""

from itertools import combinations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from sim.bench.screen.lettering import MEASURE
from sim.bench.ui.blocks import (
    ButtonBox,
    FieldBox,
    TableBox,
    TableRow,
    Words,
    focus_order,
    next_name,
)
from sim.bench.ui.fields import Motion, Move, NumberField, TextArea, TextLine, edited
from sim.bench.ui.marks import Look, page_point, view_box
from sim.bench.ui.theme import Box
from sim.bench.ui.typeset import laid_out
from sim.bench.ui.wrapping import wrapped
from tests.bench.measures import LONG, Square, encloses, every_kind, meet

WIDE = 420
SCALES = [1.0, 1.25, 1.5]
NAMES = focus_order(every_kind())


@pytest.fixture(params=[Square(), MEASURE], ids=["square letters", "the typeface"])
def measure(request):
    return request.param


def line_boxes(measure, lines):
    return [
        Box(
            line.x,
            line.y,
            measure.width_px(line.text, line.size_px, line.bold),
            measure.line_height_px(line.size_px, line.bold),
        )
        for line in lines
    ]


@pytest.mark.parametrize("scale", SCALES)
def test_boxes_stand_on_the_page_and_do_not_overlap(measure, scale):
    sheet = laid_out(every_kind(), measure, WIDE, scale, focus="height")
    page = Box(0, 0, WIDE, sheet.height_px)
    assert all(encloses(page, placed.box) for placed in sheet.placed)
    pairs = combinations((placed.box for placed in sheet.placed), 2)
    assert not [pair for pair in pairs if meet(pair[0], pair[1])]


@pytest.mark.parametrize("scale", SCALES)
def test_every_line_stands_within_its_box(measure, scale):
    for placed in laid_out(every_kind(), measure, WIDE, scale, focus="height").placed:
        for frame in placed.frames:
            assert encloses(placed.box, frame.box)
            if isinstance(placed.source, FieldBox) and not isinstance(
                placed.source.field, TextArea
            ):
                continue  # a line longer than its field is cut off at the edge, see test_sheet
            assert all(encloses(frame.box, box) for box in line_boxes(measure, frame.lines))
        assert all(encloses(placed.box, box) for box in line_boxes(measure, placed.lines))


def seen_boxes(measure, placed):
    """Where lettering is seen: that of a field only as far as its frame goes."""
    boxes = line_boxes(measure, [line for line in placed.lines if line.text])
    for frame in placed.frames:
        for box in line_boxes(measure, [line for line in frame.lines if line.text]):
            left, right = max(box.x, frame.box.x), min(box.right, frame.box.right)
            boxes.append(box._replace(x=left, width=right - left))
    return boxes


@pytest.mark.parametrize("scale", SCALES)
def test_no_lettering_stands_on_other_lettering(measure, scale):
    for placed in laid_out(every_kind(), measure, WIDE, scale).placed:
        pairs = combinations(seen_boxes(measure, placed), 2)
        assert not [pair for pair in pairs if meet(pair[0], pair[1])], placed.source


@pytest.mark.parametrize("scale", SCALES)
def test_lettering_beside_a_frame_does_not_run_into_it(measure, scale):
    for placed in laid_out(every_kind(), measure, WIDE, scale).placed:
        frames = [frame.box for frame in placed.frames if frame.look is Look.FIELD]
        for box in line_boxes(measure, placed.lines):
            assert not any(meet(box, frame) for frame in frames), placed.source


@pytest.mark.parametrize("scale", SCALES)
def test_what_can_be_pressed_is_at_least_24_pixels_each_way(measure, scale):
    frames = (f for p in laid_out(every_kind(), measure, WIDE, scale).placed for f in p.frames)
    small = [f for f in frames if f.name and min(f.box.width, f.box.height) < 24]
    assert not small


@settings(deadline=None)
@given(
    st.lists(st.text("ab½ -" + LONG[:8], max_size=60), min_size=1, max_size=4),
    st.sampled_from(SCALES),
)
def test_any_text_fits(texts, scale):
    boxes = (
        *(Words(text) for text in texts),
        *(ButtonBox(f"b{n}", text) for n, text in enumerate(texts)),
        TableBox(tuple(texts), (TableRow(tuple(reversed(texts)), struck_out=texts[0]),)),
        FieldBox("a", TextArea.holding("\n".join(texts)), texts[0]),
    )
    sheet = laid_out(boxes, Square(), WIDE, scale)
    for placed in sheet.placed:
        lines = placed.lines + tuple(line for f in placed.frames for line in f.lines)
        assert all(encloses(placed.box, box) for box in line_boxes(Square(), lines) if box.width)
    pairs = combinations((placed.box for placed in sheet.placed), 2)
    assert not [pair for pair in pairs if meet(pair[0], pair[1])]


@settings(deadline=None)
@given(st.text("ab é½\n\u0301" + LONG[:6], max_size=120), st.integers(1, 90))
def test_broken_lines_hold_all_letters_and_fit(text, wide):
    lines = wrapped(text, Square(), 10, wide)
    letters = "".join(text[a:b] for a, b in lines.spans)
    assert letters == text.replace("\n", "")
    for row, (start, end) in enumerate(lines.spans):
        alone = len(text[start:end].rstrip().replace("\u0301", "")) <= 1
        assert alone or Square().width_px(lines.shown(row), 10) <= wide


@settings(deadline=None)
@given(st.text("ab \n", max_size=80), st.data())
def test_a_click_on_a_letter_finds_it_again(text, data):
    lines = wrapped(text, Square(), 10, 45)
    index = data.draw(st.integers(0, len(text)))
    row = lines.row(index)
    if index <= lines.last_index(row):
        assert lines.index_at(row, lines.x_px(index)) == index


def test_words_are_broken_only_where_they_must_be():
    lines = wrapped("half-range uncertainty", Square(), 10, 60)
    assert [lines.shown(row) for row in range(len(lines.spans))] == ["half-range", "uncertainty"]
    lines = wrapped("uncertainties\u00a0here", Square(), 10, 60)
    assert [lines.shown(row) for row in range(2)] == ["uncertaintie", "s\u00a0here"]


def test_names_come_in_reading_order():
    assert NAMES[:4] == ("temperature", "height", "line", "area")
    assert NAMES[-2:] == ("cell", "last")
    assert len(NAMES) == len(set(NAMES))


def test_focus_goes_round_both_ways_and_comes_in_at_either_end():
    names = ("a", "b", "c")
    assert [next_name(names, "c", 1), next_name(names, "a", -1)] == ["a", "c"]
    assert [next_name(names, "b", 1), next_name(names, "b", -1)] == ["c", "a"]
    assert [next_name(names, "gone", 1), next_name(names, "gone", -1)] == ["a", "c"]


def test_the_point_in_the_middle_of_each_frame_is_that_frame():
    sheet = laid_out(every_kind(), Square(), WIDE)
    for placed in sheet.placed:
        for frame in placed.frames:
            assert sheet.name_at(*frame.box.centre) == frame.name
    assert sheet.name_at(2, 2) is None


@pytest.mark.parametrize("scale", SCALES)
@pytest.mark.parametrize("name", NAMES)
def test_scrolling_to_a_name_shows_it_whole_from_wherever_one_was(name, scale):
    sheet, view_px = laid_out(every_kind(), Square(), WIDE, scale, name), 400
    box = sheet.frame(name).box
    caret = sheet.caret
    for start in (0, sheet.most_scroll_px(view_px)):
        scroll = sheet.scrolled_to(name, start, view_px)
        assert 0 <= scroll <= sheet.most_scroll_px(view_px)
        seen = box if box.height + 20 <= view_px else caret
        assert scroll <= seen.y
        assert seen.bottom <= scroll + view_px
        assert sheet.scrolled_to(name, scroll, view_px) == scroll


def test_in_an_answer_taller_than_the_view_the_line_of_the_caret_is_shown():
    area = TextArea.holding("\n".join(f"line {n}" for n in range(40)))
    for caret in (0, 150, len(area.text)):
        page = (Words("Why?"), FieldBox("a", area.placed(caret), "Because"))
        sheet = laid_out(page, Square(), WIDE, focus="a")
        scroll = sheet.scrolled_to("a", 77, 200)
        assert scroll <= sheet.caret.y < sheet.caret.bottom <= scroll + 200


def test_a_page_that_fits_is_not_scrolled_and_an_unknown_name_moves_nothing():
    sheet = laid_out((Words("Short."),), Square(), WIDE)
    assert sheet.scrolled(50, 400) == 0
    assert sheet.scrolled_to("x", 0, 400) == 0


def test_fields_that_follow_one_another_stand_in_one_column():
    sheet = laid_out(every_kind(), Square(), WIDE)
    first, second = sheet.frame("temperature").box, sheet.frame("height").box
    assert first.x == second.x == Square().width_px("temperature / °C", 15) + 10
    assert sheet.frame("line").box.x == 0


def test_a_field_whose_label_leaves_no_room_goes_below_it():
    long = FieldBox("f", NumberField(), "the height from which the ball falls", letters=16)
    placed = laid_out((long,), Square(), 300).placed[0]
    assert placed.frames[0].box.x == 0
    assert placed.frames[0].box.y >= placed.lines[0].y + placed.lines[0].size_px
    beside = laid_out((long,), Square(), 420).placed[0]
    assert beside.frames[0].box.x > 0


@pytest.mark.parametrize("unit", ["", " cm"])
def test_columns_of_numbers_end_at_one_place(unit):
    numbers = [f"{number}{unit}" for number in ("9.5", "17.5", "−102.0")]
    rows = tuple(TableRow((text, "x")) for text in numbers)
    table = laid_out((TableBox(("height / cm", "read"), rows),), Square(), WIDE).placed[0]
    ends = {
        line.x + Square().width_px(line.text, line.size_px)
        for line in table.lines
        if line.text in numbers
    }
    assert len(ends) == 1


def test_a_struck_out_row_is_struck_through_and_says_why():
    sheet = laid_out(every_kind(), Square(), WIDE)
    table = next(placed for placed in sheet.placed if isinstance(placed.source, TableBox))
    struck = next(line for line in table.lines if line.text == "9")
    through = [
        ruling.box
        for ruling in table.rulings
        if ruling.box.x < struck.x
        and ruling.box.right > struck.x + 7
        and struck.y < ruling.box.y < struck.y + 18
    ]
    assert through
    assert any(line.text.startswith("Struck out: hit the clamp") for line in table.lines)
    kept = next(line for line in table.lines if line.text == "17.5")
    assert not [s for s in table.rulings if kept.y < s.box.y < kept.y + 18 and s.box.width > 5]


def test_a_table_keeps_its_words_whole_by_setting_itself_smaller():
    headings = ("temperature / °C", "rebound height / cm", "uncertainty / cm", "how read")
    table = TableBox(headings, (TableRow(("20", "17", "1", "by eye")),))
    large = laid_out((table,), MEASURE, WIDE, 1.5).placed[0]
    words = " ".join(line.text for line in large.lines).replace("\u00a0", " ").split()
    assert {"temperature", "rebound", "uncertainty"} <= set(words)
    assert min(line.size_px for line in large.lines) >= 13


def test_headings_make_room_so_that_the_rows_stay_large():
    heads = ("temperature / °C", *(f"rebound height {n} / cm" for n in (1, 2, 3)), "mean / cm")
    headings = tuple(FieldBox(f"h{n}", TextLine.holding(text)) for n, text in enumerate(heads))
    cells = tuple(FieldBox(f"c{n}", NumberField.holding("17.5")) for n in range(5))
    sheet = laid_out((TableBox(headings, (TableRow(cells),)),), MEASURE, WIDE, 1.5)
    assert {sheet.frame(f"c{n}").lines[0].size_px for n in range(5)} == {round(15 * 1.5)}
    shown = {line.text for n in range(5) for line in sheet.frame(f"h{n}").lines}
    assert {"temperature", "rebound", "/\u00a0cm"} <= shown


def test_a_short_cell_is_kept_on_one_line():
    row = TableRow(("a long cell of many words that wants all the room", "own eye", "17.5 cm"))
    table = laid_out((TableBox(("what", "by", "height"), (row,)),), MEASURE, 300, 1.0).placed[0]
    assert {"own eye", "17.5 cm"} <= {line.text for line in table.lines}


def test_a_row_grows_with_what_is_written_in_it():
    def height(text):
        cell = FieldBox("c", TextLine.holding(text))
        return laid_out((TableBox(("a", "b"), (TableRow((cell, "1")),)),), Square(), 200).height_px

    cells = (FieldBox("a", TextLine()), FieldBox("b", TextLine.holding("many words " * 4)))
    sheet = laid_out((TableBox(("a", "b"), (TableRow(cells),)),), Square(), 200)
    assert sheet.frame("a").box.height == sheet.frame("b").box.height
    assert height("short") < height("many more words than one line of a cell can hold")


def test_a_row_of_another_length_is_refused():
    with pytest.raises(ValueError, match="row 2 has 1 cells under 2 headings"):
        TableBox(("a", "b"), (TableRow(("1", "2")), TableRow(("1",))))


@pytest.mark.parametrize("scale", SCALES)
def test_the_caret_stands_within_its_field_wherever_it_is(measure, scale):
    fields = {
        "line": lambda f: FieldBox("f", f, "label", letters=8),
        "cell": lambda f: TableBox(("a", "b"), (TableRow((FieldBox("f", f), "1")),)),
    }
    for make in fields.values():
        for index in (0, 10, len(LONG)):
            box = make(TextLine.holding(LONG).placed(index))
            sheet = laid_out((box,), measure, WIDE, scale, "f")
            frame, writing = sheet.frame("f"), sheet.frame("f").writing
            assert encloses(frame.box, sheet.caret)
            assert sheet.caret.x == writing.x + writing.lines.x_px(index)


@pytest.mark.parametrize("scale", SCALES)
@pytest.mark.parametrize("letters", [None, 8])
def test_a_one_line_answer_is_shown_whole_however_long(measure, scale, letters):
    answer = "the temperature of the water, and so of the ball that lay in it for five minutes"
    page = (FieldBox("f", TextLine.holding(answer), "What?", letters), Words("Next."))
    sheet = laid_out(page, measure, WIDE, scale)
    frame, following = sheet.frame("f"), sheet.placed[1].box
    assert " ".join(line.text for line in frame.lines) == answer
    for line in frame.lines:
        width = measure.width_px(line.text, line.size_px, line.bold)
        height = measure.line_height_px(line.size_px)
        assert encloses(frame.box, Box(line.x, line.y, width, height))
    assert not meet(frame.box, following)


def test_selected_and_composed_letters_are_marked_where_they_stand():
    field = TextLine.holding("half range").placed(0).placed(4, select=True)
    writing = laid_out((FieldBox("f", field, "say"),), Square(), WIDE, focus="f").frame("f").writing
    assert [(box.x - writing.x, box.width) for box in writing.selected] == [(0, 28)]
    composing = (FieldBox("f", field.placed(4), "say"),)
    writing = laid_out(composing, Square(), WIDE, 1.0, "f", "~~").frame("f").writing
    assert writing.lines.text == "half~~ range"
    assert [(box.x - writing.x, box.width) for box in writing.composed] == [(28, 14)]
    assert writing.caret.x - writing.x == 42


def test_without_the_focus_there_is_no_caret():
    assert laid_out(every_kind(), Square(), WIDE).caret is None
    assert laid_out(every_kind(), Square(), WIDE, focus="area").caret is not None


def test_the_lines_of_a_long_answer_serve_its_keys_and_clicks():
    area = TextArea.holding("one two three four " * 6).placed(3)
    sheet = laid_out((FieldBox("a", area, "Why?"),), Square(), WIDE, focus="a")
    below = edited(area, Move(Motion.DOWN), sheet.lines_of("a"))
    box = laid_out((FieldBox("a", below, "Why?"),), Square(), WIDE, focus="a").caret
    assert box.x == sheet.caret.x
    assert box.y > sheet.caret.y
    assert sheet.caret_index("a", box.x, box.y + 3) == below.caret
    with pytest.raises(ValueError, match="nothing on this page is called 'b'"):
        sheet.caret_index("b", 0, 0)


def test_a_long_answer_grows_with_its_lines():
    def height(lines):
        area = TextArea.holding("\n".join(["x"] * lines))
        return laid_out((FieldBox("a", area, "Why?", rows=4),), Square(), WIDE).height_px

    assert height(1) == height(4) < height(5) < height(6)


def test_a_point_of_the_window_finds_its_place_on_the_page():
    view = view_box(Box(900, 80, 446, 600), 1.0)
    assert page_point(view, 120, (view.x + 5, view.y + 7)) == (5, 127)
    assert encloses(Box(900, 80, 446, 600), view)


def test_the_same_page_is_not_set_twice():
    page = every_kind()
    assert laid_out(page, Square(), WIDE) is laid_out(every_kind(), Square(), WIDE)
    assert NumberField.holding("1") != NumberField.holding("2")
