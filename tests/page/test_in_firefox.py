"""The page in Firefox, as in Chromium: by keys, from a file, over a reload, to the saved file.

Where Firefox is not installed, or playwright asks it for more than it knows, this is skipped and
says so.
"""

import pytest

from analysis.marking.questions import GRAPH, HAZARDS
from sim import actions as act
from sim.bench.model.pages.graph_page import axes_of
from sim.record.replay import read_record
from tests.page.at_keyboard import AtKeyboard
from tests.page.in_browser import gone_on, saved
from tests.page.pupil import listened_to
from tests.page.test_whole_practical import written_here

pytestmark = pytest.mark.parametrize("browser", ["firefox"], indirect=True)
HAZARD = act.WriteAnswer(HAZARDS, "hazard 1", "hot water")
AXES = (
    act.SetAxis("across", "temperature / °C", 10.0, 5.0),
    act.SetAxis("up", "rebound height / cm", 0.0, 5.0),
)
CROSS, LINE = (20.0, 40.0), ((10.0, 20.0), (50.0, 60.0))
FALLING = "#wall[data-falling]"


TO_COME_TO = """() => {
  const all = "button,summary,input,textarea,a,[tabindex='0']";
  const seen = [...document.querySelectorAll(all)].filter((one) => one.checkVisibility());
  globalThis.left = new Set(seen);
  addEventListener("focusin", (event) => left.delete(event.target));
  seen[0].focus();
}"""


CUT_OFF = """() => {
  const on = document.activeElement, { top, bottom } = on.getBoundingClientRect();
  const room = by("book").getBoundingClientRect();
  const cut = by("page").contains(on) && (top < room.top || bottom > room.bottom);
  return cut ? [on.dataset.name] : [];
}"""
"""What has the focus in the book and is not in sight as a whole."""


def by_tab(page):
    """What could be pressed or written in and Tab does not come to, and what it leaves cut off."""
    page.evaluate(TO_COME_TO)
    cut_off = []
    for _ in range(2 * page.evaluate("left.size")):
        if not page.evaluate("left.size"):
            break
        page.keyboard.press("Tab")
        cut_off += page.evaluate(CUT_OFF)
    return page.evaluate("[...left].map((one) => one.outerHTML.slice(0, 90))"), cut_off


def reading_and_pages(pupil):
    """A reading with the ball as it lay, an answer with feedback, a cross and a line."""
    pupil.water = "20"
    pupil.drops(first=False)
    pupil.writes_down(first=True, unit=True)
    assert pupil.page.get_by_role("status").last.inner_text().startswith("Drop 2 of 5")
    pupil.opens(HAZARDS)
    pupil.writes(HAZARD)
    blank = pupil.page.inner_text("#page")
    pupil.asks_for_feedback()
    assert len(pupil.page.inner_text("#page")) > len(blank), "feedback stands on the page"
    pupil.opens(GRAPH)
    for axis in AXES:
        pupil.writes(axis)
    pupil.plots(CROSS)
    pupil.lays(LINE)


def torn_off_in_a_fall(page):
    """The page is loaded anew while the ball falls, which it asks about, and gone on with."""
    page.keyboard.press("Escape")
    page.locator("#bench").focus()
    page.keyboard.press("r")
    page.keyboard.press("Space")
    assert page.locator(FALLING).count()
    before, asked = page.evaluate("record.lines"), []
    page.once("dialog", lambda one: (asked.append(one.type), one.accept()))
    page.clock.resume()
    page.reload()
    assert asked == ["beforeunload"]
    gone_on(page)
    assert page.evaluate("record.lines").startswith(before)


def test_a_practical_by_keys_over_a_reload_is_the_desktops(visit, tmp_path):
    page = visit()
    listened_to(page)
    pupil = AtKeyboard(page)
    pupil.begins()
    assert by_tab(page) == ([], [])
    pupil.press("F1")
    assert page.evaluate("by('help').scrollHeight <= by('help').clientHeight"), "all keys in sight"
    pupil.press("F1", "Escape")
    reading_and_pages(pupil)
    torn_off_in_a_fall(page)
    path = saved(page, tmp_path)
    record = read_record(path)
    assert not record.notices
    assert written_here(record, tmp_path / "again.rebound.jsonl") == path.read_bytes()
    end = record.end
    assert (end.drops, len(end.rough), end.line_missing) == (2, 1, True)
    assert end.book.answers[HAZARDS, "hazard 1"] == HAZARD.text
    assert end.book.tries == {HAZARDS: 1}
    axes = axes_of(end)
    assert [axes.place(cross) for cross in end.book.crosses] == [CROSS]
    assert axes.places(end.book.line) == LINE
