"""The page of a class in a real browser: by number over http out of a folder, by name in a file."""

import shutil

import pytest

from sim.__main__ import main
from sim.record.replay import read_record
from tests.page.in_browser import (
    BEGIN_NEW,
    LAPTOP,
    PHONE,
    SLOW_MS,
    in_each_window,
    saved,
    too_small,
    too_wide,
)

TAKE = "Take this place"
LONG_NAME = "Ada Larkmere of the Upper and the Lower Larkmere-Fenwick Lunchtime Club"


@pytest.fixture(scope="module")
def class_set(tmp_path_factory):
    folder = tmp_path_factory.mktemp("class")
    names = folder / "names.csv"
    names.write_text(f"name\n{LONG_NAME}\nBo Fenwick\nCai O'Dell\n", encoding="utf-8")
    assert main(["classset", str(names), "--no-sheets", "--out", str(folder / "set")]) == 0
    return folder / "set"


@pytest.fixture(scope="module")
def key(class_set):
    return class_set / "teacher only" / "key.json"


@pytest.fixture(scope="module")
def folder(make_page, key, tmp_path_factory):
    return make_page(tmp_path_factory.mktemp("site") / "practical", "--folder", "--class", key)


@pytest.fixture(scope="module")
def numbers(visit_once, served, folder):
    """The class's page out of its folder, opened from a server."""
    return visit_once(served(folder), ready=TAKE)


@pytest.fixture(scope="module")
def names(visit_once, make_page, key, tmp_path_factory):
    """The class's page as a file, with the names to choose from."""
    out = tmp_path_factory.mktemp("class") / "page.html"
    return visit_once(make_page(out, "--class", key, "--names").as_uri(), ready=TAKE)


def at_the_choice(page):
    """A place can be chosen; where a test before has taken one, the page is loaded anew for it."""
    page.bring_to_front()
    page.set_viewport_size(LAPTOP)
    if not page.is_visible("#places"):
        page.once("dialog", lambda one: one.accept())
        page.reload()
        page.get_by_role("button", name=TAKE).wait_for(timeout=SLOW_MS)
    return page


def asked_if_sure(page):
    """The first place is chosen, and not taken yet."""
    if page.locator("select#place").count():
        page.locator("#place").select_option(index=1)
    else:
        page.locator("#place").fill("1")
    page.get_by_role("button", name=TAKE).click()
    return page.get_by_role("button", name="place 01").first


def given_out(class_set, number):
    return next((class_set / "for students").glob(f"{number} *.jsonl")).read_bytes()


def collected(key, folder):
    results = folder.parent / "results"
    assert main(["collect", str(folder), "--key", str(key), "--out", str(results)]) == 0


def sound(page, faults, step, windows):
    """Nothing is wrong with what the page shows, in any of these windows."""
    for window in windows(page):
        assert not faults(page), (step, window)
        assert not too_wide(page), (step, window)
        assert not too_small(page), (step, window)


def on_phone_and_laptop(page):
    for window in (PHONE, LAPTOP):
        page.set_viewport_size(window)
        yield window


@pytest.mark.parametrize("way", ["numbers", "names"])
def test_the_choosing_can_be_seen_pressed_and_read_aloud(request, faults, way):
    page = at_the_choice(request.getfixturevalue(way))
    sound(page, faults, "choosing", in_each_window)
    page.get_by_role("button", name=TAKE).click()
    sound(page, faults, "refused", in_each_window)
    asked_if_sure(page).wait_for()
    sound(page, faults, "asked", in_each_window)
    page.get_by_role("button", name="No, choose again").click()
    page.locator("#place").evaluate("(one) => { one.value = '' }")


def test_a_place_by_number_by_keyboard_alone_from_a_server(
    numbers, class_set, key, tmp_path, capsys
):
    page = at_the_choice(numbers)
    assert not page.get_by_role("button", name=BEGIN_NEW).is_visible()
    assert page.get_by_label("The number of your place").evaluate(
        "(one) => one === document.activeElement"
    )
    page.keyboard.press("Enter")
    assert page.get_by_role("alert").inner_text() == "Write a number from 01 to 03."
    page.keyboard.type("4")
    page.keyboard.press("Enter")
    assert page.get_by_role("alert").inner_text() == (
        "There is no place “4” on this page: write a number from 01 to 03."
    )
    page.keyboard.press("Backspace")
    page.keyboard.type("2")
    page.keyboard.press("Enter")
    assert "Is place 02 yours?" in page.get_by_role("group").first.inner_text()
    assert "Fenwick" not in page.locator("body").inner_text()
    page.keyboard.press("Tab")
    page.keyboard.press("Enter")
    page.wait_for_selector("#work:visible")
    assert "02.rebound.jsonl: kept in this browser" in page.locator("header").inner_text()
    page.keyboard.press("Enter")
    page.keyboard.press("h")
    path = saved(page, tmp_path / "in")
    assert path.name == "02.rebound.jsonl"
    assert path.read_bytes().startswith(given_out(class_set, "02"))
    assert read_record(path).end.water_kg > 0.0
    collected(key, tmp_path / "in")
    assert "1 of 3 practicals marked." in capsys.readouterr().out


def test_a_place_by_name_and_a_second_time_in_the_same_browser(names, class_set):
    page = at_the_choice(names)

    def choose():
        page.get_by_label("Your name").select_option(label="03 Cai O'Dell")
        page.get_by_role("button", name=TAKE).click()

    page.get_by_role("button", name=TAKE).click()
    assert page.get_by_role("alert").inner_text() == "Choose your name in the list first."
    choose()
    page.get_by_role("button", name="No, choose again").click()
    choose()
    page.get_by_role("button", name="Yes, begin place 03, Cai O'Dell").click()
    page.wait_for_selector("#work:visible")
    kept = page.evaluate("record.lines")
    assert kept.encode() == given_out(class_set, "03")
    at_the_choice(page)
    choose()
    assert "Somebody began place 03" in page.get_by_role("group").first.inner_text()
    page.get_by_role("button", name="Begin place 03, Cai O'Dell anew").click()
    page.wait_for_selector("#work:visible")
    assert page.evaluate("record.name") == "03 Cai O Dell (2).rebound.jsonl"
    at_the_choice(page)
    choose()
    page.get_by_role("button", name="Go on with place 03").click()
    page.wait_for_selector("#work:visible")
    assert page.evaluate("record.lines") == kept


@pytest.mark.parametrize("from_server", [True, False])
def test_where_a_part_of_the_folder_cannot_be_had_it_is_said(
    browser, served, folder, tmp_path, from_server
):
    torn = tmp_path / "torn"
    shutil.copytree(folder, torn)
    (torn / "python_stdlib.zip.gz").unlink()
    page = browser.new_page()
    page.goto(served(torn) if from_server else (torn / "index.html").as_uri())
    told = page.get_by_text("cannot be had").first
    told.wait_for(timeout=SLOW_MS)
    assert "comes from a web server" in told.inner_text()
    page.close()


@pytest.mark.parametrize("way", ["numbers", "names"])
def test_the_practical_of_a_place_can_be_seen_pressed_and_read_aloud(request, faults, way):
    page = request.getfixturevalue(way)
    if not page.is_visible("#work"):
        asked_if_sure(at_the_choice(page)).click()
        page.wait_for_selector("#work:visible")
    sound(page, faults, "at work", on_phone_and_laptop)
