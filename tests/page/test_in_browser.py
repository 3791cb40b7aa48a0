"""The page in a real browser, from a file and in true time: what it keeps, and what it refuses.

What it needs, and what happens where that is missing, is told in conftest.py.
"""

import json
import subprocess
import sys

from sim.record.replay import read_record
from tests.page.conftest import SLOW_MS


def saved(page, folder):
    with page.expect_download() as download:
        page.get_by_role("button", name="Save the file").first.click()
    path = folder / download.value.suggested_filename
    download.value.save_as(path)
    return path


def accepted(path):
    """The record, after the commands for readings and marks have taken it."""
    for command in ("readings", "mark"):
        done = subprocess.run(
            [sys.executable, "-m", "sim", command, str(path), "--force"],
            capture_output=True,
            text=True,
            check=False,
        )
        assert done.returncode == 0, done.stderr
        assert not done.stderr
    return read_record(path)


def until_landed(page):
    page.wait_for_selector("#wall:not([data-falling])")


def test_a_practical_by_keyboard_alone(page, tmp_path):
    page.keyboard.press("Enter")
    page.wait_for_selector("#work:visible")
    page.keyboard.press("Enter")
    for key in ("h", "c", "c", "b", "t", "r", *["Shift+PageDown"] * 8, "Space"):
        page.keyboard.press(key)
    page.wait_for_selector("#wall[data-falling]")
    until_landed(page)
    page.keyboard.press("n")
    page.keyboard.type("30 C")
    page.keyboard.press("Enter")
    page.keyboard.type("29 cm")
    page.keyboard.press("Enter")
    page.keyboard.press("Escape")
    record = accepted(saved(page, tmp_path))
    assert [one.height_m for one in record.end.rough] == [0.29]
    assert record.end.drops == 1


def test_every_page_of_the_book_opens_and_takes_an_answer(page):
    page.get_by_role("button", name="Begin a new practical").click()
    page.get_by_role("button", name="The whole practical").click()
    names = page.locator("#pages button").all_inner_texts()
    assert len(names) == 10
    for name in names:
        page.locator("#pages").get_by_role("button", name=name, exact=True).click()
        page.wait_for_selector(f"#page[data-page='{name}']")
        assert page.locator("#pages [aria-current]").inner_text() == name
        for field in page.locator("#page textarea").all()[:1]:
            field.fill("Hotter, so higher.")
            assert field.input_value() == "Hotter, so higher."


def test_a_second_tab_on_the_same_practical_is_refused(page, made):
    page.keyboard.press("Enter")
    page.wait_for_selector("#work:visible")
    second = page.context.new_page()
    second.goto(made.as_uri())
    second.get_by_role("button", name="Go on with").first.click(timeout=SLOW_MS)
    second.get_by_text("open in another tab").wait_for()
    assert not second.is_visible("#work")


def test_forbidden_storage_is_said_and_the_practical_goes_on(page, tmp_path):
    page.evaluate("void (Storage.prototype.setItem = () => { throw new DOMException('no') })")
    page.keyboard.press("Enter")
    page.wait_for_selector("#work:visible")
    assert "keeps nothing" in page.inner_text("#said")
    page.keyboard.press("Enter")
    page.keyboard.press("h")
    path = saved(page, tmp_path)
    assert read_record(path).end.water_kg > 0.0
    assert json.loads(path.read_text(encoding="utf-8").splitlines()[0])["format"] == 3


def test_a_page_made_without_node_holds_sources_and_does_the_same(
    visit, make_page, tmp_path, monkeypatch
):
    monkeypatch.setenv("PATH", "")
    page = visit(make_page(tmp_path / "plain.html").as_uri())
    page.keyboard.press("Enter")
    page.wait_for_selector("#work:visible")
    page.keyboard.press("Enter")
    page.keyboard.press("h")
    assert read_record(saved(page, tmp_path)).end.water_kg > 0.0


def test_two_practicals_of_one_page_have_two_seeds(visit, tmp_path):
    seeds = set()
    for _ in range(2):
        page = visit()
        page.keyboard.press("Enter")
        page.wait_for_selector("#work:visible")
        seeds.add(read_record(saved(page, tmp_path)).end.setup.seed)
    assert len(seeds) == 2
