"""What the bench has beside its things, in a real browser: dial, steam, time, and whole words."""

import re

import pytest

from analysis.marking.questions import EVALUATION, GRAPH, HAZARDS, TABLE
from analysis.quantity.units import celsius
from sim.bench.model.keys import BENCH_KEYS
from sim.bench.model.pages.book_page import ASK
from sim.bench.model.seeing import steam_strength
from sim.record.replay import scanned
from tests.page.in_browser import LAPTOP, PHONE, begun, in_each_window

DIAL = "bath's dial / °C"
MOVING = """() => [...document.querySelectorAll("[data-of=kettle] use")].map(
  (one) => one.getAnimations().length)"""
LARGE_ENOUGH = """(least) => {
  const texts = [...document.querySelectorAll("#paper text")];
  const scale = document.querySelector("#paper").getScreenCTM().a;
  const sizes = texts.map((one) => Number(one.getAttribute("font-size")) * scale);
  return sizes.length > 10 && Math.min(...sizes) >= least;
}"""
SMALLEST_PX = 12
LISTEN = """() => {
  globalThis.drawnAgain = [];
  const told = (all) => drawnAgain.push(...all.flatMap((one) => [...one.addedNodes]));
  globalThis.listener = new MutationObserver(told);
  listener.observe(document.body, { childList: true, subtree: true });
}"""
DRAWN = """() => {
  drawnAgain.push(...listener.takeRecords().flatMap((one) => [...one.addedNodes]));
  return drawnAgain.splice(0).filter((one) => one.nodeType === Node.ELEMENT_NODE).length;
}"""
"""How many elements were put into the page since it was asked last."""
OUT_OF_SIGHT = """(hidden) => {
  Object.defineProperty(document, "hidden", { configurable: true, get: () => hidden });
  document.dispatchEvent(new Event("visibilitychange"));
}"""


@pytest.fixture(scope="module")
def opened(visit_once):
    return begun(visit_once())


@pytest.fixture
def lying(opened):
    """The practical that all tests here share, with the focus on the bench."""
    opened.set_viewport_size(LAPTOP)
    opened.locator("#bench").focus()
    return opened


def state_of(page):
    return scanned(page.evaluate("record.lines").encode(), "page").record.end


def set_c(page):
    return float(celsius(state_of(page).bath_setting_k))


def test_the_dial_is_set_to_any_half_degree_by_keys(lying):
    page, dial = lying, lying.get_by_role("spinbutton", name=DIAL)
    shown = page.locator("#page").get_attribute("data-page")
    page.keyboard.press("ArrowRight")  # a thing has had the focus before
    dial.focus()
    for keys, there in (("42.5\n", 42.5), ("43.2\n", 43.0), ("1\n", 5.0), ("200\n", 95.0)):
        page.keyboard.press("Control+a")
        page.keyboard.type(keys)
        assert set_c(page) == there, keys
        assert float(dial.input_value()) == there
    assert "scald" in page.inner_text("#said")
    for key, there in (("ArrowDown", 94.5), ("ArrowDown", 94.0), ("ArrowUp", 94.5)):
        page.keyboard.press(key)
        assert set_c(page) == there, key
        assert dial.evaluate("(one) => one === document.activeElement")
    page.keyboard.press("Control+a")
    page.keyboard.press("Delete")
    page.keyboard.press("Escape")
    assert page.evaluate("document.activeElement.id") == "bench"
    assert (set_c(page), float(dial.input_value())) == (94.5, 94.5)
    assert page.locator("#page").get_attribute("data-page") == shown, "a digit was taken for a page"
    page.keyboard.press("Shift+d")
    assert float(dial.input_value()) == set_c(page) == 89.5


def test_the_drawn_dial_is_dragged_and_set_where_it_is_let_go(lying):
    page, mouse = lying, lying.mouse
    page.keyboard.press("ArrowRight")
    page.keyboard.press("Shift+d")
    before, dial = set_c(page), page.get_by_role("spinbutton", name=DIAL)
    box = page.locator(".bath .grip").bounding_box()
    x, y = box["x"] + box["width"] / 2, box["y"] + box["height"] / 2
    mouse.move(x, y)
    mouse.down()
    mouse.move(x - 30, y + 32, steps=4)
    shown = float(dial.input_value())
    assert 5.0 <= before - shown <= 8.0
    assert page.inner_text("#bath-words").startswith(f"bath ({shown:.1f}")
    assert set_c(page) == before, "nothing is set before it is let go"
    mouse.up()
    assert set_c(page) == shown == float(dial.input_value())


def test_steam_is_as_thick_as_the_windows(lying):
    page = lying
    for key in "hhc":
        page.keyboard.press(key)
    thick = {
        name: float(page.locator(f".steam[data-of={name}]").get_attribute("opacity"))
        for name in ("kettle", "beaker", "bath")
    }
    state = state_of(page)
    assert thick["kettle"] == 1.0
    assert thick["beaker"] == pytest.approx(steam_strength(float(celsius(state.water_k))), abs=0.02)
    assert 0.0 < thick["beaker"] < 1.0
    for _ in range(int(state.water_kg / 0.05) + 1):
        page.keyboard.press("x")
    assert page.locator(".steam[data-of=beaker]").get_attribute("opacity") == "0"


@pytest.mark.usefixtures("chromium")
def test_steam_stands_still_where_that_is_wished_for(lying):
    page = lying
    assert page.evaluate(MOVING) == [1]
    page.emulate_media(reduced_motion="reduce")
    assert page.evaluate(MOVING) == [0]
    page.emulate_media(reduced_motion="no-preference")
    words = next(key.help for key in BENCH_KEYS if key.name == "Alt+S")
    page.get_by_text("Everything the hands can do, as buttons").click()
    button = page.get_by_role("button", name=words)
    button.click()
    assert page.evaluate(MOVING) == [0]
    button.click()
    assert page.evaluate(MOVING) == [1]
    page.get_by_text("Everything the hands can do, as buttons").click()


def test_steam_goes_on_rising_while_a_ball_falls_as_in_the_window(lying):
    page = lying
    page.keyboard.press("r")
    page.keyboard.press("Space")
    page.wait_for_selector("#wall[data-falling]")
    assert page.evaluate(MOVING) == [1]


def test_back_from_out_of_sight_it_is_said_that_time_stood_still(lying):
    page = lying
    page.clock.install()
    for away_ms, told in ((500, False), (600_000, True)):
        page.evaluate(OUT_OF_SIGHT, True)
        page.clock.fast_forward(away_ms)
        before = state_of(page).time_s
        page.evaluate(OUT_OF_SIGHT, False)
        assert ("time stood still" in page.inner_text("#said")) is told
        assert ("time stood still" in page.inner_text("#heard")) is told
        assert state_of(page).time_s - before < 60.0


@pytest.mark.parametrize("window", [PHONE, LAPTOP])
def test_feedback_comes_into_sight_and_is_told_of_each_time(lying, window):
    page = lying
    page.set_viewport_size(window)
    page.locator("#pages").get_by_role("button", name=HAZARDS).click()
    button = page.get_by_role("button", name=ASK)
    for _ in range(2):
        page.evaluate("document.querySelector('#bench').scrollIntoView()")
        button.click()
        assert "Feedback stands below the button: 0 of " in page.inner_text("#heard")
        box = page.get_by_role("heading", name="Feedback, try").bounding_box()
        foot = page.locator("#said").bounding_box()["y"]
        assert 0.0 <= box["y"] < box["y"] + box["height"] <= foot
        assert page.locator("#page p", has_text="Nothing written").first.bounding_box()["y"] < foot


def test_on_each_button_of_the_hands_stands_what_stands_on_the_key(lying):
    written = lying.locator("#letters button kbd").all_text_contents()
    assert {"H", "Shift+H", "↑", "Shift+Page ↓", "Space", ","} <= set(written)
    assert not [one for one in written if re.search("[A-Z]{2}", one)]


def with_axes(page):
    for side, words in (("across", "temperature / °C"), ("up", "rebound height / cm")):
        page.get_by_label(f"title: quantity and unit, {side}").fill(words)
        page.get_by_label(f"starts at, {side}").fill("0")
        page.get_by_label(f"a large square is, {side}").fill("10")


def test_the_sheet_of_graph_paper_can_be_seen_as_a_whole(lying):
    page = lying
    page.locator("#pages").get_by_role("button", name=GRAPH).click()
    with_axes(page)
    page.locator("#paper").focus()
    for window in in_each_window(page):
        page.locator("#paper").evaluate("(one) => one.scrollIntoView()")
        sheet, foot = (page.locator(one).bounding_box() for one in ("#paper", "#said"))
        assert sheet["y"] + 1.0 >= 0.0, window
        assert sheet["y"] + sheet["height"] <= foot["y"] + 1.0, window
        page.wait_for_function(LARGE_ENOUGH, arg=SMALLEST_PX, timeout=5000)


def cut_off(page, fields):
    """What is written in a field and not seen in it as a whole."""
    return page.locator(fields).evaluate_all(
        """(all) => all.filter((one) =>
          one.scrollWidth > one.clientWidth + 1 || one.scrollHeight > one.clientHeight + 1
        ).map((one) => one.value)"""
    )


@pytest.mark.parametrize("window", [PHONE, LAPTOP])
def test_headings_and_titles_are_seen_as_a_whole(lying, window):
    page = lying
    page.set_viewport_size(window)
    page.locator("#pages").get_by_role("button", name=TABLE).click()
    headings = page.locator("#page th textarea")
    for number, words in enumerate(("temperature / °C", "rebound height 1 / cm")):
        headings.nth(number).fill(words)
        assert headings.nth(number).input_value() == words
    assert not cut_off(page, "#page th textarea")
    headings.first.press("Enter")
    assert not headings.first.evaluate("(one) => one === document.activeElement")
    assert headings.first.input_value() == "temperature / °C"
    page.locator("#pages").get_by_role("button", name=GRAPH).click()
    with_axes(page)
    assert not cut_off(page, "#page td :is(input,textarea)")


def test_only_what_changes_is_drawn_again(lying):
    page = lying
    page.locator("#pages").get_by_role("button", name=GRAPH).click()
    with_axes(page)
    page.locator("#paper").focus()
    page.evaluate(LISTEN)
    for key in ("ArrowUp", "Enter"):
        page.keyboard.press(key)
        assert 0 < page.evaluate(DRAWN) < 10, key
    page.locator("#pages").get_by_role("button", name=TABLE).click()
    cell = page.locator("#page td input").first
    cell.focus()
    cell.press("4")
    button = page.get_by_role("button", name=ASK)
    button.focus()
    page.evaluate(DRAWN)
    page.evaluate("globalThis.cell = document.querySelector('#page td input')")
    button.press("Enter")
    assert cell.evaluate("(one) => one === globalThis.cell"), "the table has not changed"
    assert button.evaluate("(one) => one === document.activeElement")


def test_a_page_opened_by_a_key_is_seen_from_its_top(lying):
    page = lying
    page.locator("#pages").get_by_role("button", name=EVALUATION).click()
    page.locator("#page textarea").last.scroll_into_view_if_needed()
    assert page.evaluate("by('book').scrollTop") > 0
    page.locator("#bench").focus()
    page.keyboard.press(f"Control+{page.evaluate('fixed.pages').index(HAZARDS)}")
    assert page.locator("#page").get_attribute("data-page") == HAZARDS
    assert page.evaluate("by('book').scrollTop") == 0


TORN = """() => {
  const range = document.createRange();
  const words = [...document.querySelectorAll(".sight figcaption")].map((one) => one.firstChild);
  return words.filter((text) => {
    range.setStart(text, 0);
    range.setEnd(text, text.data.split(" ")[0].length);
    return range.getClientRects().length > 1;
  }).map((text) => text.data);
}"""


def test_beside_a_bar_to_scroll_by_no_caption_is_torn_within_a_word(lying):
    lying.set_viewport_size({"width": PHONE["width"] - 17, "height": PHONE["height"]})
    assert lying.evaluate(TORN) == []
