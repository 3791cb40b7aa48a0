"""Who uses the page by touch, by keys, with large letters or with a screen reader."""

import re

import pytest

from analysis.marking.questions import GRAPH
from sim.bench.model.along_bench import THINGS
from sim.bench.model.desk import ROUGH
from tests.page.in_browser import (
    BEGIN_NEW,
    LAPTOP,
    PHONE,
    begun,
    in_each_window,
    too_small,
    too_wide,
)


@pytest.fixture(scope="module")
def opened(visit_once):
    """The page that most tests share."""
    return visit_once()


@pytest.fixture
def opening(opened, visit_once):
    """A page on which nothing is begun yet: the shared one, until a test has begun on it."""
    return visit_once() if opened.is_visible("#work") else opened


@pytest.fixture
def lying(opened):
    """The shared page with a practical on a laptop, whatever the test before has made of it."""
    if not opened.is_visible("#work"):
        begun(opened)
    opened.set_viewport_size(LAPTOP)
    opened.evaluate("document.documentElement.style.fontSize = ''")
    opened.emulate_media()
    opened.keyboard.press("Escape")
    opened.locator("#pages button").first.click()
    return opened


@pytest.fixture(scope="module")
def touched(chromium, visit_once):
    """A practical that was begun by touch, on a phone."""
    page = visit_once(viewport={"width": 360, "height": 740}, has_touch=True, is_mobile=True)
    page.get_by_role("button", name=BEGIN_NEW).tap()
    page.get_by_role("button", name="The whole practical").tap()
    return page


def pages(page):
    """Turns to one page of the book after another."""
    for name in page.locator("#pages button").all_inner_texts():
        page.locator("#pages").get_by_role("button", name=name, exact=True).click()
        page.wait_for_selector(f"#page[data-page='{name}']")
        yield name


def moved_sideways(page):
    """Which of the large parts of the page can be scrolled sideways."""
    return page.evaluate(
        """() => ['#frame', 'main', '#bench', '#book', '#page', '#said'].filter((name) => {
          const part = document.querySelector(name);
          return part.scrollWidth > part.clientWidth;
        })"""
    )


def over_one_another(page):
    """Pairs of words, fields and buttons that cover a part of one another."""
    return page.evaluate(
        """() => {
          const kinds = 'button,label,p,h3,h4,input,textarea,summary,small,kbd,figcaption';
          const all = [...document.querySelectorAll('#work :is(' + kinds + ')')]
            .map((one) => [one, one.getBoundingClientRect()])
            .filter(([one, box]) => one.checkVisibility() && box.width > 1 && box.height > 1);
          const over = [];
          for (const [one, a] of all) for (const [other, b] of all) {
            if (one === other || one.contains(other) || other.contains(one)) continue;
            const wide = Math.min(a.right, b.right) - Math.max(a.left, b.left);
            const high = Math.min(a.bottom, b.bottom) - Math.max(a.top, b.top);
            const elsewhere = (part) => one.closest(part) !== other.closest(part);
            const apart = ['.wide', '#book'].some(elsewhere);
            if (wide > 1 && high > 1 && !apart) over.push([one.outerHTML, other.outerHTML]);
          }
          return over.map((pair) => pair.map((html) => html.slice(0, 90)));
        }"""
    )


def checked(page, faults, where):
    for window in (PHONE, LAPTOP):
        page.set_viewport_size(window)
        assert not faults(page), (where, window)


def test_the_checker_finds_nothing_on_the_opening(opening, faults):
    checked(opening, faults, "the opening")


def heard(page):
    """From now on all that is read aloud is written down."""
    page.evaluate(
        """() => {
          const place = document.querySelector('[role=status][aria-live=polite]');
          globalThis.readAloud = [];
          new MutationObserver(() => readAloud.push(place.textContent)).observe(
            place, {childList: true, subtree: true, characterData: true});
        }"""
    )

    def since():
        return page.evaluate("readAloud.splice(0)")

    return since


def test_one_drop_is_read_aloud_step_by_step_and_each_step_once(opening):
    page = begun(opening)
    since = heard(page)
    page.locator("#pages").get_by_role("button", name=ROUGH).click()
    page.locator("#bench").focus()
    since()
    steps = {
        "h": ("The beaker holds 50 ml.", "Caution: "),
        "c": ("The beaker holds 100 ml.",),
        "a": ("Reading aid on",),
        "b": ("in the beaker's water.", "Soak it"),
        "t": ("in the tongs.",),
        "r": ("at the rule, its lowest point at 100 cm.", "is seen at "),
        "Shift+PageDown": ("The eye is at 110 cm.", "is seen at "),
        "Space": ("The ball is in the air.", "The reader calls out: "),
    }
    for key, words in steps.items():
        page.keyboard.press(key)
        page.wait_for_function("() => readAloud.length")
        said = since()
        assert len(said) == 1, key
        for one in words:
            assert said[0].count(one) == 1, (key, said)
    page.wait_for_selector("#wall:not([data-falling])")
    page.keyboard.press("F2")
    page.wait_for_function("() => readAloud.length")
    assert "The thermometer in the beaker shows" in since()[-1]


def test_the_checker_finds_nothing_on_any_page(lying, faults):
    page = lying
    for name in pages(page):
        checked(page, faults, name)
    page.locator("#bench").focus()
    for key in "hccbtr":
        page.keyboard.press(key)
    assert "at the rule" in page.locator("[data-thing=ball]").inner_text()
    buttons = page.get_by_text("Everything the hands can do, as buttons")
    buttons.click()
    checked(page, faults, "the ball at the rule")
    buttons.click()
    page.locator("#bench").focus()
    page.keyboard.press("F1")
    page.wait_for_selector("#help:visible")
    checked(page, faults, "the help")


def test_nothing_without_a_name_can_be_pressed_or_written_in(lying):
    page = lying
    for _ in pages(page):
        tree = page.locator("body").aria_snapshot()
        nameless = [
            line.strip()
            for line in tree.splitlines()
            if line.strip().rstrip(":") in ("- button", "- textbox", "- link", "- img")
        ]
        assert not nameless


@pytest.mark.parametrize("letters", [100, 200])
def test_at_any_size_of_letters_nothing_is_cut_off_covered_or_too_small_for_a_finger(
    lying, letters
):
    page = lying
    page.evaluate(f"document.documentElement.style.fontSize = '{letters}%'")
    for name in pages(page):
        for window in in_each_window(page):
            assert not too_small(page), (name, window)
            assert not too_wide(page), (name, window)
            assert not moved_sideways(page), (name, window)
            assert not over_one_another(page), (name, window)


def test_rule_things_and_words_are_in_sight_together(lying):
    page = lying
    page.locator("#bench").focus()
    page.keyboard.press("h")
    things = ("[data-thing=kettle]", "[data-thing=ball]")
    for window in in_each_window(page):
        page.evaluate("document.querySelector('#bench').scrollIntoView()")
        for there in ("header", "#wall", "#lens", "#thermometer", *things, "#said"):
            box = page.locator(there).bounding_box()
            assert box["y"] >= 0, (there, window)
            assert box["y"] + box["height"] <= window["height"], (there, window)
        said, ball = (page.locator(one).bounding_box() for one in ("#said", things[1]))
        assert ball["y"] + ball["height"] <= said["y"]


def test_every_thing_shows_the_key_that_does_the_same(lying):
    page = lying
    keys = {name: page.locator(f"[data-thing='{name}'] kbd").inner_text() for name in THINGS}
    assert keys["kettle"] == "H"
    assert all(keys.values())
    page.locator("#bench").focus()
    before = page.locator("[data-thing=beaker] small").inner_text()
    page.keyboard.press(keys["kettle"].lower())
    assert page.locator("[data-thing=beaker] small").inner_text() != before


def test_on_the_graph_paper_it_is_read_aloud_where_the_pencil_is(lying):
    page = lying
    page.locator("#pages").get_by_role("button", name=GRAPH).click()
    since = heard(page)
    page.locator("#paper").focus()
    page.keyboard.press("ArrowRight")
    page.wait_for_function("() => readAloud.length")
    assert "0.5 small squares across" in since()[-1]
    page.keyboard.press("F2")
    page.wait_for_function("() => readAloud.length")
    assert "Crosses on the paper: 0; no line." in since()[-1]


def finger(page):
    """A finger on the screen: goes down, moves in steps, comes up."""
    hand = page.context.new_cdp_session(page)

    def touch(kind, *at):
        points = [{"x": at[0], "y": at[1]}] if at else []
        hand.send("Input.dispatchTouchEvent", {"type": kind, "touchPoints": points})

    def drag(start, end, time_s=0.6):
        touch("touchStart", *start)
        for step in range(1, 9):
            touch("touchMove", *(a + (b - a) * step / 8 for a, b in zip(start, end, strict=True)))
        page.wait_for_timeout(1000 * time_s)  # a vessel swung over in less time spills
        touch("touchEnd")

    return drag


def middle(page, selector, x=0.5, y=0.4):
    box = page.locator(selector).first.bounding_box()
    return box["x"] + x * box["width"], box["y"] + y * box["height"]


def test_by_touch_things_are_carried_and_eye_and_lens_are_dragged(touched):
    page = touched
    page.get_by_role("link", name="Bench").tap()
    drag = finger(page)

    def carry(thing, onto):
        drag(middle(page, f"[data-thing='{thing}']"), middle(page, onto))

    carry("kettle", "[data-thing=beaker]")
    page.locator("[data-thing=beaker]", has_text="50 ml").wait_for()
    carry("jug", "[data-thing=beaker]")
    page.locator("[data-thing=beaker]", has_text="100 ml").wait_for()
    carry("thermometer", ".bath")
    page.locator("[data-thing=thermometer]", has_text="in the bath").wait_for()
    carry("ball", "[data-thing=beaker]")
    page.locator("[data-thing=ball]", has_text="in the beaker's water").wait_for()
    carry("ball", "[data-thing=towel]")
    carry("ball", "#wall")
    page.locator("[data-thing=ball]", has_text="at the rule").wait_for()
    at_first = page.evaluate("seen.scene.eye_m")
    start = middle(page, "#wall [data-thing=eye] .lid")
    drag(start, (start[0], start[1] + 60))
    lower = page.evaluate("seen.scene.eye_m")
    assert lower < at_first - 0.1
    drag(middle(page, "#lens"), middle(page, "#lens", y=0.6))
    finer = page.evaluate("seen.scene.eye_m")
    assert lower < finer < lower + 0.04
    page.touchscreen.tap(*middle(page, "#wall [data-thing='held ball'] .ball", y=0.5))
    page.wait_for_selector("#wall[data-falling]")


def test_by_touch_a_cross_is_dragged_to_its_place_and_a_line_from_end_to_end(touched):
    page = touched
    page.locator("#pages").get_by_role("button", name=GRAPH).tap()
    for side, start, square in (("across", "0", "10"), ("up", "0", "10")):
        page.get_by_label(f"title: quantity and unit, {side}").fill("quantity in unit")
        page.get_by_label(f"starts at, {side}").fill(start)
        page.get_by_label(f"a large square is, {side}").fill(square)
    drag = finger(page)
    page.locator("#paper").scroll_into_view_if_needed()
    drag(middle(page, "#paper > svg", 0.3, 0.3), middle(page, "#paper > svg", 0.5, 0.5), 0.1)
    page.wait_for_selector("#paper .cross", state="attached")
    (cross,) = page.evaluate("seen.blocks.find((one) => one.kind === 'paper').crosses")
    across, up = page.evaluate("seen.blocks.find((one) => one.kind === 'paper').squares").copy()[:2]
    assert cross == pytest.approx([across / 2, up / 2], abs=1.5)
    page.get_by_role("button", name="Line", exact=True).tap()
    page.locator("#paper").scroll_into_view_if_needed()
    drag(middle(page, "#paper > svg", 0.1, 0.9), middle(page, "#paper > svg", 0.9, 0.2), 0.1)
    page.wait_for_selector("#paper .drawn-line", state="attached")
    page.get_by_role("button", name="Undo").tap()
    page.wait_for_selector("#paper .drawn-line", state="detached")


@pytest.mark.usefixtures("chromium")
def test_where_colours_are_forced_the_drawings_keep_their_own(lying):
    page = lying
    page.emulate_media(forced_colors="active", color_scheme="dark")
    grounds = page.evaluate(
        """() => Object.fromEntries(['body', '#wall', '#lens', '#thermometer', '.thing svg'].map(
          (name) => [name, getComputedStyle(document.querySelector(name)).backgroundColor]))"""
    )
    kept = {name: ground for name, ground in grounds.items() if name != "body"}
    assert all(int(value) > 200 for ground in kept.values() for value in numbers(ground)[:3])
    adjust = "(one) => getComputedStyle(document.querySelector(one)).forcedColorAdjust"
    assert {page.evaluate(adjust, name) for name in kept} == {"none"}


def numbers(colour):
    return re.findall(r"[0-9.]+", colour)


@pytest.mark.usefixtures("chromium")
def test_where_less_motion_is_wanted_only_the_ball_moves(lying):
    page = lying
    for wanted, moves in (("reduce", False), ("no-preference", True)):
        page.emulate_media(reduced_motion=wanted)
        page.locator("#bench").focus()
        page.keyboard.press("h")
        pouring = page.locator("#things[data-poured=hot] [data-thing=kettle] > svg")
        assert bool(pouring.evaluate("(one) => one.getAnimations().length")) is moves


def test_closed_help_gives_the_focus_back_and_a_digit_opens_a_page(lying):
    page = lying
    page.locator("#bench").focus()
    page.keyboard.press("F1")
    assert page.evaluate("document.activeElement.id") == "help-close"
    page.keyboard.press("Escape")
    assert page.evaluate("document.activeElement.id") == "bench"
    page.keyboard.press("5")
    page.wait_for_selector(f"#page[data-page='{GRAPH}']")
