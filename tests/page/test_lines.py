"""The page's bridge, in this machine's Python: the same acts make the same bytes as a window."""

import base64
import json
import re

import pytest

from analysis.marking.questions import HAZARDS
from sim.bench.model.after import after, desk_for, passed_by
from sim.bench.model.intents import Press
from sim.bench.model.keeping import Keeper, with_new_record
from sim.bench.model.keys import Held, intent_of
from sim.bench.model.pages.first_and_last import BEGIN, on_card
from sim.page.bridge import PageBench, contents
from sim.record.format import RecordRefused
from sim.record.replay import scanned
from sim.state import Setup, beginning
from tests.page.kept_page import Page

NAME = "practical.rebound.jsonl"
SEED = 3
DONE = "hhccbtr"
"""Water from the kettle and the jug, the ball into it, dried, and to the rule."""


def taken_on_the_page():
    page = Page().begin(NAME, SEED)
    page.do(press=BEGIN)
    for key in DONE:
        page.do(key=key)
        page.wait()
    page.do(key=" ")
    page.wait()
    return page


def test_same_acts_make_the_same_record_as_in_the_window(tmp_path):
    opened = with_new_record(beginning(Setup(seed=SEED)), tmp_path)
    keeper, desk = Keeper(opened.record), on_card(desk_for(opened.state))

    def done(step):
        nonlocal desk
        before, desk = desk, step.desk
        assert keeper.keep(before.state, step.actions) == ""

    done(after(desk, Press(BEGIN)))
    for key in [*DONE, "SPACE"]:
        done(after(desk, intent_of(key, Held(), desk)))
        for _ in range(120):
            done(passed_by(desk, 1 / 60))
    keeper.close()
    assert taken_on_the_page().kept.encode() == opened.record.path.read_bytes()


def test_two_practicals_begun_on_one_page_have_two_seeds():
    begun = [json.loads(PageBench().begin(NAME))["lines"].encode() for _ in range(2)]
    one, other = (scanned(line, NAME).record.setup.seed for line in begun)
    assert one != other


def test_a_reading_is_written_by_fields_and_return():
    page = taken_on_the_page()
    name = page.do(key="n")["focus"]
    page.do(edit=name, text="30 C")
    height = page.do(key="Enter")["focus"]
    assert height != name
    page.do(edit=height, text="29 cm")
    page.do(key="Enter")
    state = scanned(page.kept.encode(), NAME).record.end
    assert [(round(one.temperature_k - 273.15), one.height_m) for one in state.rough] == [
        (30, 0.29)
    ]


def test_a_record_is_gone_on_with_from_its_bytes():
    page = taken_on_the_page()
    again = PageBench()
    answer = json.loads(again.open(base64.b64encode(page.kept.encode()).decode(), NAME))
    assert answer["lines"] == page.kept
    further = json.loads(again.do(json.dumps({"key": "x"})))["lines"]
    whole = scanned((page.kept + further).encode(), NAME)
    assert not whole.damaged
    assert not whole.record.notices
    assert whole.record.end.water_kg < scanned(page.kept.encode(), NAME).record.end.water_kg


def test_of_a_damaged_record_the_good_part_is_kept_and_told():
    page = taken_on_the_page()
    torn = page.kept[:-20].encode()
    answer = json.loads(PageBench().open(base64.b64encode(torn).decode(), NAME))
    assert "not written to its end" in answer["note"]["text"]
    assert page.kept.startswith(answer["lines"])
    with pytest.raises(RecordRefused, match="Line 1"):
        PageBench().open(base64.b64encode(b"a shopping list\n").decode(), NAME)


def test_a_letter_in_a_number_field_is_not_taken():
    page = Page().begin(NAME, SEED)
    graph = page.answer
    for number in range(10):
        graph = page.do(page=number)
        if graph["page"] == "Graph":
            break
    name = "Graph.across start"
    page.do(edit=name, text="12")
    page.do(edit=name, text="12x")
    fields = [cell for row in page.answer["blocks"][0]["rows"] for cell in row["cells"][1:]]
    assert {one["name"]: one["text"] for one in fields}[name] == "12"


def test_every_thing_does_on_the_page_what_return_does_at_the_bench():
    page = Page().begin(NAME, SEED)
    page.do(press=BEGIN)
    page.do(use="kettle")
    assert page.answer["scene"]["beaker_full"] > 0.0
    assert page.answer["scene"]["thing"] == "kettle"
    page.do(carry="jug", onto="beaker", carried_s=1.0)
    page.do(use="dial up")
    assert page.answer["scene"]["bath"]["words"] == "25.0 °C, warming"


def test_the_thermometer_and_the_ball_are_places_and_no_printed_numbers():
    page = taken_on_the_page()
    assert set(page.answer["scene"]["thermometer"]) == {"in", "thread", "ends", "span"}
    assert 0.0 < page.answer["scene"]["thermometer"]["thread"] < 1.0


def test_no_key_is_named_that_a_browser_keeps_for_itself():
    page = Page().begin(NAME, SEED)
    page.do(press=BEGIN)
    words = [json.dumps(page.answer["blocks"]), page.answer["note"]["text"], contents()]
    for number, name in enumerate(json.loads(contents())["pages"]):
        page.do(key="Escape")
        page.do(key=str(number))
        assert page.answer["page"] == name
        words += [json.dumps(page.answer["blocks"]), page.answer["note"]["text"]]
    assert not [one for one in words if "Ctrl+D" in one or re.search(r"Ctrl *\+ *[0-9\"]", one)]
    assert any("Esc, then 3" in one for one in words)
    assert page.do(key="d", control=True)["handled"] is False


def test_a_digit_in_a_field_is_text():
    page = Page().begin(NAME, SEED)
    page.do(press=BEGIN)
    page.do(focus=first_field(page))
    assert page.do(key="4")["page"] == HAZARDS


def first_field(page):
    return next(one["name"] for one in page.answer["blocks"] if one["kind"] == "field")
