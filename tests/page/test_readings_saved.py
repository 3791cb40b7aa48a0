"""The readings file that the page gives to be saved, against the one that a window writes."""

from sim.bench.model.after import PAGES
from sim.bench.model.pages.first_and_last import HAND_IN, READINGS, START
from sim.record.replay import read_record
from tests.page.kept_page import Page
from tests.sim.recorded import write, write_beside

NUMBER = [START, *PAGES].index(HAND_IN)


def words_on(page):
    return [one.get("text") or one.get("label") for one in page.answer["blocks"]]


def test_it_is_the_one_that_a_window_keeps_beside_the_record(tmp_path):
    path = write(tmp_path / "mine.rebound.jsonl")
    page = Page().open(path.read_text("utf-8"), path.name)
    page.do(page=NUMBER)
    assert any("mine.rebound.csv" in one for one in words_on(page) if one)
    given = page.do(press=READINGS)["file"]
    beside = write_beside(path, read_record(path).end)
    assert given["name"] == beside.name
    assert given["text"].encode() == beside.read_bytes()
    assert b"40.5" in beside.read_bytes()
    assert page.do(page=NUMBER)["file"] is None


def test_without_a_reading_there_is_none_to_save():
    page = Page().begin("mine.rebound.jsonl", 3)
    page.do(page=NUMBER)
    assert "Save the file" in words_on(page)
    assert "Save your readings" not in words_on(page)
