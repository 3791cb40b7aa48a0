"""What a student has done in the page is never lost: reloads, killed tabs, full storage, files."""

import os
import random
import signal
import time

import pytest

from sim.actions import AddHotWater, WriteAnswer
from sim.bench.model.keeping import gone_on_with
from sim.record.file import begin_record, continue_record
from sim.record.replay import scanned
from sim.state import Setup
from tests.page.in_browser import begun, gone_on, saved

HAZARD = "Hazards.hazard 1"


def kept(page):
    return page.evaluate("record.lines")


def of_lines(lines):
    record = scanned(lines.encode(), "practical").record
    assert not record.notices
    return record.end


def taken_back(path):
    """Go on with a record on the desktop, and open it there once more."""
    back = gone_on_with(path)
    assert (back.words, back.trouble) == ("", "")
    assert back.state.book.answers["Hazards", "hazard 1"] == "hot water"
    back.record.append(WriteAnswer("Hazards", "risk 1", "it scalds"), back.state.time_s)
    back.record.close()
    again, record = continue_record(path)
    again.close()
    assert not record.notices


def test_a_desktop_record_goes_to_the_page_survives_reloads_and_goes_back(page, tmp_path):
    path, bad = tmp_path / "mine.rebound.jsonl", tmp_path / "list" / "mine.rebound.jsonl"
    with begin_record(path, Setup(seed=3)) as record:
        record.append(AddHotWater(0.1), 0.0)
    bad.parent.mkdir()
    bad.write_text("a shopping list\n")
    for _ in range(2):
        page.set_input_files("#file", bad)
        page.get_by_text("Line 1").wait_for()
        page.evaluate("void (document.getElementById('how-far').textContent = '')")
    page.set_input_files("#file", path)
    page.wait_for_selector("#work:visible")

    page.locator("#bench").focus()
    for key in ("c", "b", "t", "r", " "):
        page.keyboard.press(key)
    assert page.locator("#wall[data-falling]").count()
    page.locator("#pages").get_by_role("button", name="Hazards").click()
    page.locator(f'[data-name="{HAZARD}"]').click()
    page.keyboard.type("hot")
    before, asked = kept(page), []
    page.on("dialog", lambda one: (asked.append(one.type), one.accept()))
    page.reload()
    assert asked == ["beforeunload"]
    gone_on(page)
    assert kept(page).startswith(before)
    end = of_lines(kept(page))
    assert (end.drops, end.line_missing) == (1, True)
    assert end.book.answers["Hazards", "hazard 1"] == "hot"

    page.locator("#pages").get_by_role("button", name="Hazards").click()
    page.locator(f'[data-name="{HAZARD}"]').click()
    page.keyboard.press("End")
    page.keyboard.type(" water")
    out = saved(page, bad.parent)
    assert out.name == path.name
    assert out.read_bytes().startswith(path.read_bytes())
    taken_back(out)

    page.wait_for_function("(had) => record.lines.length > had", arg=len(kept(page)))
    page.goto("about:blank")
    assert asked == ["beforeunload"], "the saved file lacks nothing but time that went by"


FILL = """() => {
  for (let size = 2 ** 22, n = 0; size >= 1; ) {
    try { localStorage.setItem("other" + n, "x".repeat(size)); n += 1; } catch { size >>= 1; }
  }
}"""
EMPTY = """() => Object.keys(localStorage).filter((key) => key.startsWith("other"))
  .forEach((key) => localStorage.removeItem(key))"""


FAULT = """() => {
  globalThis.whole = drawScene;
  drawScene = () => { throw new Error("a fault of the page"); };
}"""
FORBID = "void (Storage.prototype.setItem = () => { throw new DOMException('no') })"


def test_full_or_forbidden_storage_and_a_fault_in_the_drawing_are_said_and_lose_nothing(
    page, tmp_path
):
    page.evaluate(FILL)
    begun(page)
    assert "storage is full" in page.inner_text("#said")
    page.locator("#bench").focus()
    page.keyboard.press("h")
    assert "only in memory" in page.inner_text("#kept")
    page.evaluate(EMPTY)
    page.keyboard.press("c")
    assert "kept in this browser" in page.inner_text("#kept")
    assert "storage is full" not in page.inner_text("#said")
    assert page.evaluate("storedLines(record.name).text") == kept(page)
    page.evaluate(FAULT)
    before = len(kept(page))
    page.keyboard.press("c")
    assert "Something went wrong" in page.inner_text("#said")
    assert len(page.evaluate("storedLines(record.name).text")) > before
    page.evaluate("void (drawScene = whole)")
    assert set(page.wrong) == {"a fault of the page"}
    page.wrong.clear()
    page.evaluate(FORBID)
    page.keyboard.press("c")
    assert "keeps nothing" in page.inner_text("#said")
    assert of_lines(saved(page, tmp_path).read_text()).water_kg == pytest.approx(0.2)


WORKING = """(seed) => {
  const note = (text) => wish({ edit: seen.focus, text });
  const heard = keep;
  keep = (answer) => { heard(answer); console.log("kept", record.lines.length); };
  const keys = [..."xxhccbtr "].map((key) => () => wish({ key }));
  const reading = [() => wish({ key: "n" }), () => note("40 C"), () => wish({ key: "Enter" }),
    () => note(`${20 + seed} cm`), () => wish({ key: "Enter" }), () => wish({ key: "Escape" })];
  const acts = [...keys, ...reading];
  let n = 0;
  setInterval(() => acts[n++ % acts.length](), 4);
}"""
"""Acts without end, and word of each length of the record that the page has kept."""


def killed_while_working(browser, page, number):
    """Kill the tab's process at some moment; the record's length that the page last told of."""
    lengths = []
    page.on("console", lambda one: lengths.append(int(one.text.split()[1])))
    told = random.Random(number)
    page.evaluate(WORKING, number % 20)
    wanted = told.randint(1, 60)
    while len(lengths) < wanted:
        page.wait_for_timeout(1)
    session = browser.new_browser_cdp_session()
    found = session.send("SystemInfo.getProcessInfo")["processInfo"]
    renderers = [one for one in found if one["type"] == "renderer"]
    time.sleep(told.random() / 50.0)
    os.kill(max(renderers, key=lambda one: one["cpuTime"])["id"], signal.SIGKILL)
    with page.expect_event("crash"):
        pass
    return lengths[-1]


def opened_again(page, made):
    again = page.context.new_page()
    again.goto(made.as_uri())
    return gone_on(again)


@pytest.mark.usefixtures("chromium")
@pytest.mark.parametrize("kills", [2, pytest.param(50, marks=pytest.mark.slow)])
def test_a_killed_tab_has_kept_all_that_it_answered_to(browser, page, made, kills):
    begun(page)
    readings = 0
    for number in range(kills):
        length = killed_while_working(browser, page, number)
        page = opened_again(page, made)
        lines = kept(page)
        assert len(lines) >= length
        end = of_lines(lines)
        assert len(end.rough) >= readings
        readings = len(end.rough)
    assert readings
