"""The page of a class in a real browser: by number over http out of a folder, by name in a file."""

import http.server
import shutil
import threading
from functools import cache

import pytest

from sim.__main__ import main
from sim.record.replay import read_record
from tests.page.conftest import SLOW_MS
from tests.page.test_accessible import in_each_window, too_small, too_wide

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


@pytest.fixture
def served():
    """Serves a folder on this machine, and gives its address."""
    servers = []

    def at(folder):
        class Quiet(http.server.SimpleHTTPRequestHandler):
            def __init__(self, *asked):
                super().__init__(*asked, directory=str(folder))

            def log_message(self, *_):
                pass

        servers.append(http.server.ThreadingHTTPServer(("127.0.0.1", 0), Quiet))
        threading.Thread(target=servers[-1].serve_forever, daemon=True).start()
        return f"http://127.0.0.1:{servers[-1].server_port}/"

    yield at
    for server in servers:
        server.shutdown()
        server.server_close()


@pytest.fixture
def at_server(visit, served, folder):
    """The class's page out of its folder, opened from a server."""
    return visit(served(folder), ready=TAKE)


@pytest.fixture(scope="module")
def made_for_class(make_page, key, tmp_path_factory):
    """Makes the class's page as a file, once for each way of choosing, and gives its address."""

    @cache
    def address(*options):
        out = tmp_path_factory.mktemp("class") / "page.html"
        return make_page(out, "--class", key, *options).as_uri()

    return address


def saved(page, folder):
    with page.expect_download() as download:
        page.get_by_role("button", name="Save the file").first.click()
    folder.mkdir(exist_ok=True)
    path = folder / download.value.suggested_filename
    download.value.save_as(path)
    return path


def given_out(class_set, number):
    return next((class_set / "for students").glob(f"{number} *.jsonl")).read_bytes()


def collected(key, folder):
    results = folder.parent / "results"
    assert main(["collect", str(folder), "--key", str(key), "--out", str(results)]) == 0


def test_a_place_by_number_by_keyboard_alone_from_a_server(
    at_server, class_set, key, tmp_path, capsys
):
    page = at_server
    assert not page.get_by_role("button", name="Begin a new practical").is_visible()
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


def test_a_place_by_name_and_a_second_time_in_the_same_browser(visit, made_for_class, class_set):
    page = visit(made_for_class("--names"), ready=TAKE)

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
    page.on("dialog", lambda one: one.accept())
    page.reload()
    page.get_by_role("button", name=TAKE).wait_for(timeout=SLOW_MS)
    choose()
    assert "Somebody began place 03" in page.get_by_role("group").first.inner_text()
    page.get_by_role("button", name="Begin place 03, Cai O'Dell anew").click()
    page.wait_for_selector("#work:visible")
    assert page.evaluate("record.name") == "03 Cai O Dell (2).rebound.jsonl"
    page.reload()
    page.get_by_role("button", name=TAKE).wait_for(timeout=SLOW_MS)
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
    (torn / "program.zip.gz").unlink()
    page = browser.new_page()
    page.goto(served(torn) if from_server else (torn / "index.html").as_uri())
    told = page.get_by_text("cannot be had").first
    told.wait_for(timeout=SLOW_MS)
    assert "comes from a web server" in told.inner_text()
    page.close()


@pytest.mark.parametrize("options", [(), ("--names",)])
def test_the_choosing_can_be_seen_pressed_and_read_aloud(visit, made_for_class, axe, options):
    page = visit(made_for_class(*options), ready=TAKE)
    page.evaluate(axe + "; 0")

    def sound(step):
        for window in in_each_window(page):
            found = page.evaluate("axe.run(document, {resultTypes: ['violations']})")
            assert not [one["id"] for one in found["violations"]], (step, window)
            assert not too_wide(page), (step, window)
            assert not too_small(page), (step, window)

    sound("choosing")
    page.get_by_role("button", name=TAKE).click()
    sound("refused")
    if options:
        page.locator("#place").select_option(index=1)
    else:
        page.locator("#place").fill("1")
    page.get_by_role("button", name=TAKE).click()
    page.get_by_role("button", name="Yes, begin place 01").wait_for()
    sound("asked")
