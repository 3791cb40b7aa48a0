"""Who uses the page by touch, by keys, with large letters or with a screen reader.

axe-core, an open checker of accessibility, is given by REBOUND_PAGE_AXE: the file `axe.min.js` of
the npm package of that name, in the version that is pinned here.
"""

import hashlib
import os
from pathlib import Path

import pytest

from sim.bench.model.along_bench import THINGS

AXE = os.environ.get("REBOUND_PAGE_AXE", "")
AXE_VERSION, AXE_HASH = "4.14.1", "29348999450cdf2849a8e70b7912fc2da85a849da39c0d0d5394f51d4a9ed95c"
PHONE, LAPTOP = {"width": 360, "height": 640}, {"width": 1366, "height": 768}
TABLET, PROJECTOR = {"width": 768, "height": 1024}, {"width": 1920, "height": 1080}
TARGET_PX = 44
"""WCAG 2.2, success criterion 2.5.5: the smallest target for a finger."""


@pytest.fixture
def axe():
    """The checker's source."""
    if not Path(AXE).is_file():
        pytest.skip("REBOUND_PAGE_AXE names no axe.min.js of the npm package axe-core")
    source = Path(AXE).read_bytes()
    assert hashlib.sha256(source).hexdigest() == AXE_HASH, f"it is not axe-core {AXE_VERSION}"
    return source.decode()


def begun(page):
    page.get_by_role("button", name="Begin a new practical").click()
    page.get_by_role("button", name="The whole practical").click()


def pages(page):
    """Turns to one page of the book after another."""
    for name in page.locator("#pages button").all_inner_texts():
        page.locator("#pages").get_by_role("button", name=name, exact=True).click()
        page.wait_for_selector(f"#page[data-page='{name}']")
        yield name


def too_wide(page):
    """What reaches beyond the window, but for a table to write in, which may be moved sideways."""
    return page.evaluate(
        """() => [...document.querySelectorAll('body *')].filter((one) => {
          const box = one.getBoundingClientRect();
          if (!box.width || one.closest('.unseen,.wide,symbol')) return false;
          if (one.closest('svg') && one.tagName !== 'svg') return false;
          return box.right > innerWidth + 1 || box.left < -1;
        }).map((one) => one.outerHTML.slice(0, 90))"""
    )


def moved_sideways(page):
    """Which of the large parts of the page can be scrolled sideways."""
    return page.evaluate(
        """() => ['#frame', 'main', '#bench', '#book', '#page', '#said'].filter((name) => {
          const part = document.querySelector(name);
          return part.scrollWidth > part.clientWidth;
        })"""
    )


@pytest.mark.parametrize("window", [PHONE, LAPTOP], ids=["phone", "laptop"])
def test_the_checker_finds_nothing_on_any_page(visit, axe, window):
    page = visit(viewport=window, bypass_csp=True)
    page.evaluate(axe + "; 0")

    def checked(where):
        found = page.evaluate("axe.run(document, {resultTypes: ['violations']})")
        told = [(one["id"], one["nodes"][0]["html"]) for one in found["violations"]]
        assert not told, where

    checked("the opening")
    begun(page)
    for name in pages(page):
        checked(name)
    page.locator("#bench").focus()
    for key in "hccbtr":
        page.keyboard.press(key)
    page.get_by_text("Everything the hands can do, as buttons").click()
    checked("the ball at the rule")
    page.keyboard.press("F1")
    page.wait_for_selector("#help:visible")
    checked("the help")


def test_nothing_without_a_name_can_be_pressed_or_written_in(page):
    begun(page)
    for _ in pages(page):
        tree = page.locator("body").aria_snapshot()
        nameless = [
            line.strip()
            for line in tree.splitlines()
            if line.strip().rstrip(":") in ("- button", "- textbox", "- link", "- img")
        ]
        assert not nameless


@pytest.mark.parametrize("window", [PHONE, TABLET, LAPTOP, PROJECTOR])
def test_whatever_is_pressed_is_large_enough_for_a_finger(visit, window):
    page = visit(viewport=window)
    begun(page)
    for name in pages(page):
        small = page.evaluate(
            """(least) => [...document.querySelectorAll('button,summary,input,textarea,header a')]
              .map((one) => [one.outerHTML.slice(0, 60), one.getBoundingClientRect()])
              .filter(([, box]) => box.width && (box.width < least || box.height < least))
              .map(([html]) => html)""",
            TARGET_PX,
        )
        assert not small, name


@pytest.mark.parametrize("letters", [100, 200])
@pytest.mark.parametrize("window", [PHONE, TABLET, LAPTOP, PROJECTOR])
def test_nothing_reaches_beyond_the_window_at_any_size_of_letters(visit, window, letters):
    page = visit(viewport=window)
    page.evaluate(f"document.documentElement.style.fontSize = '{letters}%'")
    begun(page)
    for name in pages(page):
        assert not too_wide(page), name
        assert not moved_sideways(page), name


@pytest.mark.parametrize("window", [PHONE, TABLET, LAPTOP, PROJECTOR])
def test_rule_things_and_words_are_in_sight_together(visit, window):
    page = visit(viewport=window)
    begun(page)
    page.locator("#bench").focus()
    page.keyboard.press("h")
    page.evaluate("document.querySelector('#bench').scrollIntoView()")
    height = window["height"]
    for there in (
        "#wall",
        "#lens",
        "#thermometer",
        "[data-thing=kettle]",
        "[data-thing=ball]",
        "#said",
    ):
        box = page.locator(there).bounding_box()
        assert box["y"] >= 0, there
        assert box["y"] + box["height"] <= height, there
    said = page.locator("#said").bounding_box()
    ball = page.locator("[data-thing=ball]").bounding_box()
    assert ball["y"] + ball["height"] <= said["y"]


def test_every_thing_shows_the_key_that_does_the_same(page):
    begun(page)
    keys = {name: page.locator(f"[data-thing='{name}'] kbd").inner_text() for name in THINGS}
    assert keys["kettle"] == "H"
    assert all(keys.values())
    page.locator("#bench").focus()
    page.keyboard.press(keys["kettle"].lower())
    page.locator("[data-thing=beaker]", has_text="50 ml").wait_for()
