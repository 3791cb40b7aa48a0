"""The page in a real browser, from a web server and in true time.

What it needs, and what happens where that is missing, is told in conftest.py.
"""

import subprocess
import sys

import pytest

from sim.record.replay import read_record, scanned
from tests.page.in_browser import BEGIN_NEW, SLOW_MS, saved


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


@pytest.fixture(scope="module")
def address(made, served):
    """The page's address at a web server."""
    return served(made.parent) + made.name


@pytest.fixture(scope="module")
def at_server(visit_once, address):
    """The page from a web server, for all that needs no practical of its own."""
    return visit_once(address)


def test_a_drop_in_true_time_from_a_web_server_and_every_page_opens(at_server, address, tmp_path):
    page = at_server
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
    names = page.locator("#pages button").all_inner_texts()
    assert len(names) == 10
    for name in names:
        page.locator("#pages").get_by_role("button", name=name, exact=True).click()
        page.wait_for_selector(f"#page[data-page='{name}']")
        assert page.locator("#pages [aria-current]").inner_text() == name
        for field in page.locator("#page textarea").all()[:1]:
            field.fill("Hotter, so higher.")
            assert field.input_value() == "Hotter, so higher."
    assert [one for one in page.asked if one.startswith("http")] == [address]


def seed_of(page):
    return scanned(page.evaluate("record.lines").encode(), "page").record.setup.seed


def test_a_second_tab_leaves_the_firsts_practical_alone_and_begins_one_of_its_own(
    at_server, address
):
    page = at_server
    if not page.is_visible("#work"):
        page.get_by_role("button", name=BEGIN_NEW).click()
        page.wait_for_selector("#work:visible")
    second = page.context.new_page()
    second.goto(address)
    second.get_by_role("button", name="Go on with").first.click(timeout=SLOW_MS)
    second.get_by_text("open in another tab").wait_for()
    assert not second.is_visible("#work")
    second.get_by_role("button", name=BEGIN_NEW).click()
    second.wait_for_selector("#work:visible")
    assert seed_of(second) != seed_of(page)


def test_a_page_made_without_node_holds_sources_and_does_the_same(
    visit, make_page, tmp_path, monkeypatch
):
    monkeypatch.setenv("PATH", "")
    plain = make_page(tmp_path / "plain.html")
    page = visit(plain.as_uri(), beforehand="delete Uint8Array.fromBase64")  # of newer browsers
    page.keyboard.press("Enter")
    page.wait_for_selector("#work:visible")
    page.keyboard.press("Enter")
    page.keyboard.press("h")
    assert read_record(saved(page, tmp_path)).end.water_kg > 0.0


def test_the_bar_says_how_far_the_loading_is(at_server):
    page = at_server
    steps = page.evaluate(
        "performance.getEntriesByType('mark').map((one) => [one.name, one.detail])"
    )
    shares = [share for _, share in steps if share is not None]
    assert shares == sorted(set(shares))
    assert shares[-1] == 100
    assert len(shares) >= 4
    first_picture = "performance.getEntriesByName('first-contentful-paint')[0].startTime"
    begun = "performance.getEntriesByType('mark')[0].startTime"
    assert page.evaluate(f"{first_picture} < {begun}")


def test_the_file_is_small_enough_for_a_mail(made):
    assert made.stat().st_size <= 12_000_000
