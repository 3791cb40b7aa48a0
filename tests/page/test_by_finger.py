"""The practical on a phone, by a finger alone: no key is pressed there, and none is named."""

import re

import pytest

from analysis.marking.questions import CONCLUSION, GRAPH, TABLE
from analysis.quantity.units import celsius
from sim.bench.model.pages.book_page import field_name
from sim.bench.model.pages.first_and_last import HAND_IN
from sim.record.replay import read_record
from tests.page.at_finger import PHONE_IN_HAND, AtFinger
from tests.page.in_browser import TARGET_PX, too_small, too_wide
from tests.page.pupil import listened_to

A_KEY = re.compile(r"[↑↓]|\b(Tab|Return|Esc|Space|F1|Ctrl|Shift)\b|(?<!°)\b[B-Z]\b")
RELATIONSHIP = field_name(CONCLUSION, "relationship")
UPRIGHT = PHONE_IN_HAND["viewport"]
ON_ITS_SIDE = {"width": 740, "height": 360}
FOOT = """() => {
  globalThis.foot = [];
  const said = document.querySelector("#said");
  new MutationObserver(() => foot.push(said.textContent)).observe(said, {childList: true});
}"""
"""Notes from now on all that is said at the foot."""
KEYBOARD_PX = 320
"""About what the keyboard of a phone takes of its screen; from memory, no source."""


@pytest.fixture(scope="module")
def pupil(chromium, visit_once):
    """Somebody who holds a phone on which nothing is begun yet."""
    page = visit_once(**PHONE_IN_HAND)
    listened_to(page)
    return AtFinger(page)


@pytest.fixture(scope="module")
def done(pupil, tmp_path_factory):
    """One drop, one cross, one answer with feedback, and the file; with the words at the foot."""
    page = pupil.page
    page.evaluate(FOOT)
    pupil.begins()
    pupil.takes_readings(0, 1)
    pupil.opens(GRAPH)
    for part, text in (("across", "temperature / °C"), ("up", "height / cm")):
        pupil.enters(field_name(GRAPH, f"{part} title"), text)
        pupil.enters(field_name(GRAPH, f"{part} start"), "0")
        pupil.enters(field_name(GRAPH, f"{part} large square"), "10")
    pupil.plots((50.0, 30.0))
    pupil.opens(CONCLUSION)
    pupil.enters(RELATIONSHIP, "The hotter the ball, the higher it rebounds.")
    pupil.asks_for_feedback()
    pupil.opens(HAND_IN)
    with page.expect_download() as download:
        pupil.press(page.locator("#page").get_by_text("Save the file", exact=True))
    path = tmp_path_factory.mktemp("by finger") / download.value.suggested_filename
    download.value.save_as(path)
    return read_record(path).end, page.evaluate("foot")


def test_a_drop_a_cross_and_an_answer_are_done_by_finger_and_saved(done):
    state, _ = done
    (line,) = state.rough
    assert celsius(state.bath_setting_k) == pytest.approx(35.0)  # 20, and a drag of 15
    assert celsius(line.temperature_k) == pytest.approx(35.0, abs=1.5)
    assert line.drop.apex_m == pytest.approx(line.height_m, abs=0.006)
    (cross,) = state.book.crosses
    assert cross == pytest.approx((50.0, 30.0), abs=1.0)
    assert state.book.answers[CONCLUSION, "relationship"].startswith("The hotter")
    assert state.book.tries == {CONCLUSION: 1}


def test_no_key_is_named_or_shown_to_a_finger(pupil, done):
    _, said = done
    assert len(set(said)) > 5
    assert not [words for words in said if A_KEY.search(words)]
    page = pupil.page
    page.get_by_text("Everything the hands can do, as buttons").tap()
    buttons = page.locator("#letters button")
    assert buttons.count() > 30
    assert not [words for words in buttons.all_inner_texts() if not words.strip()]
    assert not [words for words in buttons.all_inner_texts() if A_KEY.search(words)]
    pupil.press(page.get_by_role("button", name="Help"))
    assert not A_KEY.search(page.locator("#help").inner_text())
    pupil.press(page.get_by_role("button", name="Close"))
    assert not page.locator("kbd:visible").count()
    assert "Return" not in pupil.page.locator("#does").text_content()


def test_everything_on_a_phone_is_as_large_as_a_finger_whichever_way_it_is_held(pupil, done):
    page = pupil.page
    for window in (ON_ITS_SIDE, UPRIGHT):
        page.set_viewport_size(window)
        for name in page.locator("#pages button").all_inner_texts():
            pupil.opens(name)
            assert not too_small(page), (name, window)
            assert not too_wide(page), (name, window)
        for thing in (".bath .grip", "#wall [data-thing=eye] .grip", "#wall [data-thing] .grip"):
            box = page.locator(thing).first.bounding_box()
            assert min(box["width"], box["height"]) >= TARGET_PX, (thing, window)


def test_a_ball_that_is_carried_is_seen_over_the_finger(pupil, done):
    page = pupil.page
    pupil.to_bench()
    (x, y), to = (pupil.place(f"[data-thing={name}]", y=0.5) for name in ("ball", "towel"))
    pupil.touch("touchStart", 0.5, x, y)
    pupil.touch("touchMove", 0.4, x + 20.0, y)
    pupil.touch("touchMove", 0.3, *to)
    ghost, there = page.locator(".ghost"), page.locator(".thing[data-thing=ball] > svg")
    ball = ghost.locator("[href='#a-rubber']:visible").bounding_box()
    assert ball["y"] + ball["height"] < to[1]
    assert not ghost.locator("[href='#a-dish']").is_visible()
    assert there.evaluate("(one) => getComputedStyle(one).opacity") == "0.3"
    pupil.touch("touchMove", 0.1, x, y)
    pupil.touch("touchEnd", 0.0)
    assert not ghost.count()
    assert there.evaluate("(one) => getComputedStyle(one).opacity") == "1"


def in_sight(page, selector):
    box = page.locator(selector).first.bounding_box()
    foot = page.locator("#said").bounding_box()["y"]
    return box["y"] >= -1 and box["y"] + box["height"] <= foot + 1


def test_on_its_side_a_phone_shows_the_rule_and_all_things_at_once(pupil, done):
    page = pupil.page
    page.set_viewport_size(ON_ITS_SIDE)
    pupil.to_bench()
    things = [f"[data-thing='{name}']" for name in ("kettle", "thermometer", "ball", "towel")]
    parts = ["#wall", "#lens", "#thermometer", *things, "[data-thing=stopwatch]", ".card"]
    assert [one for one in (*parts, "#save", "#jump") if not in_sight(page, one)] == []
    page.set_viewport_size(UPRIGHT)


def test_a_page_opened_by_a_button_far_below_is_seen_from_its_top(pupil, done):
    page = pupil.page
    page.set_viewport_size(ON_ITS_SIDE)
    pupil.opens(HAND_IN)
    pupil.press(page.get_by_role("button", name="The opening card"))
    go_on = page.locator("#page").get_by_role("button", name="Go on")
    go_on.evaluate("(one) => one.scrollIntoView()")
    pupil.press(go_on)
    assert in_sight(page, "#pages")
    page.set_viewport_size(UPRIGHT)


def test_what_is_written_in_stays_above_the_keyboard(pupil, done):
    page = pupil.page
    pupil.opens(CONCLUSION)
    field = page.locator(f'[data-name="{RELATIONSHIP}"]')
    field.evaluate("(one) => one.scrollIntoView({block: 'end'})")
    field.tap()
    page.set_viewport_size(UPRIGHT | {"height": UPRIGHT["height"] - KEYBOARD_PX})
    page.wait_for_function("innerHeight < 500")
    assert in_sight(page, f'[data-name="{RELATIONSHIP}"]')
    page.set_viewport_size(UPRIGHT)


def test_a_table_that_is_moved_sideways_says_so_and_its_first_column_stays(pupil, done):
    page = pupil.page
    pupil.opens(TABLE)
    pupil.enters(f"{TABLE}.0.0", "temperature / °C")
    wide = page.locator("#page .wide")
    assert page.get_by_text("The table goes on to the side").is_visible()
    last = wide.locator("th").last.locator("textarea")
    last.tap()
    room = wide.bounding_box()
    right = room["x"] + room["width"]
    assert wide.evaluate("(one) => one.scrollLeft") > 0
    for cell in (last, wide.locator("th").first.locator("textarea")):
        box = cell.bounding_box()
        assert room["x"] - 1 <= box["x"] < box["x"] + box["width"] <= right + 1
    first, second = (wide.locator("th").nth(n).bounding_box() for n in (0, 1))
    assert second["x"] < first["x"] + first["width"] - 5, "the others go by under the first"


def test_long_titles_of_axes_are_seen_as_a_whole_beside_the_sheet_and_in_their_fields(pupil, done):
    page = pupil.page
    pupil.opens(GRAPH)
    titles = page.locator("#page td textarea")
    for n, words in enumerate(("temperature of the water that the ball was soaked in / °C",) * 2):
        titles.nth(n).fill(words)
    pupil.press(page.locator("#page").get_by_text("Crosses"))
    sheet = page.locator("#paper").bounding_box()
    shown = page.locator("#paper text", has_text=re.compile("[a-z]{2}"))
    assert " ".join(shown.all_text_contents()) == f"{words} {words}"
    assert shown.count() >= 3
    for box in (one.bounding_box() for one in shown.all()):
        assert sheet["x"] <= box["x"] < box["x"] + box["width"] <= sheet["x"] + sheet["width"]
        assert sheet["y"] <= box["y"] < box["y"] + box["height"] <= sheet["y"] + sheet["height"]
    assert titles.evaluate_all(
        "(all) => all.every((one) => one.scrollHeight <= one.clientHeight + 1)"
    )
