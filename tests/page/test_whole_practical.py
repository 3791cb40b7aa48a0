"""A practical in the page from the card to the file, in four ways, held against the desktop's.

In every run a short one, with every page of the book, is done in turn in those that need no phone;
the whole ones are slow, and in `test_by_finger.py` a finger does a little of every part.
"""

import json

import pytest

from analysis.marking.mark import mark
from analysis.marking.questions import QUESTIONS_OF
from sim.__main__ import main
from sim.bench.model.pages.first_and_last import HAND_IN
from sim.marking import work_of
from sim.page.bridge import PageBench
from sim.record.file import begin_record
from sim.record.readings_file import readings_path
from sim.record.replay import read_record
from tests.page.at_finger import PHONE_IN_HAND, AtFinger
from tests.page.at_keyboard import AtKeyboard, AtReader
from tests.page.at_pointer import AtPointer
from tests.page.in_browser import saved
from tests.page.pupil import heard, listened_to, practise


def words_of(answer):
    """What `heard` keeps of an answer."""
    blocks = answer.get("blocks")
    note = answer.get("note")
    return (
        answer.get("lines"),
        note and note["text"],
        blocks and [one["text"] for one in blocks if one["kind"] == "words"],
    )


def same_here(heard):
    """Make the page's calls again in this machine's Python: with its libraries, not the page's."""
    bench = PageBench()
    for name, given, told in heard:
        assert words_of(json.loads(getattr(bench, name)(*given))) == told


def written_here(record, path):
    """What the desktop's writer writes of a record's acts."""
    with begin_record(path, record.setup) as kept:
        for action, time_s in zip(record.actions, record.times_s, strict=True):
            kept.append(action, time_s)
    return path.read_bytes()


PAGES = tuple(QUESTIONS_OF)
WAYS = [AtPointer, AtReader, AtKeyboard]
WHOLE = [
    pytest.param([way], 5, 5, marks=pytest.mark.slow, id=way.__name__) for way in (*WAYS, AtFinger)
]


@pytest.mark.parametrize(
    ("ways", "temperatures", "repeats"), [pytest.param(WAYS, 3, 2, id="in turn"), *WHOLE]
)
def test_a_practical_is_done_and_is_the_desktops(visit, tmp_path, ways, temperatures, repeats):
    page = visit(**(PHONE_IN_HAND if AtFinger in ways else {}))
    listened_to(page)
    practise([way(page) for way in ways], temperatures, repeats, PAGES)
    path = saved(page, tmp_path)
    page.locator("#pages").get_by_role("button", name=HAND_IN).click()
    readings = saved(page, tmp_path, "Save your readings")
    record = read_record(path)
    assert not record.notices
    assert written_here(record, tmp_path / "again.rebound.jsonl") == path.read_bytes()
    same_here(heard(page))
    assert len(record.end.rough) == temperatures * repeats
    assert any(one.aided for one in record.end.rough) == (AtReader in ways)
    found = mark(work_of(record.end)).remarks
    assert [one for one in found if not one.verdict.earns] == []
    assert record.end.book.tries == dict.fromkeys(PAGES, 2)
    beside = readings.read_bytes()
    assert main(["readings", str(path), "--force"]) == 0
    assert readings == readings_path(path)
    assert readings.read_bytes() == beside
    assert main(["mark", str(path)]) == 0
