"""A practical in the page from the card to the file, in three ways, held against the desktop's.

The short ones are done in every run, with every page of the book; the whole ones are slow.
"""

import json

import pytest

from analysis.marking.mark import mark
from analysis.marking.questions import GRAPH, HAZARDS, QUESTIONS_OF, TABLE
from sim.__main__ import main
from sim.marking import work_of
from sim.page.bridge import PageBench
from sim.record.file import begin_record
from sim.record.replay import read_record
from tests.page.at_keyboard import AtKeyboard, AtReader
from tests.page.at_pointer import AtPointer
from tests.page.test_in_browser import saved


def words_of(answer):
    """What `Pupil.heard` keeps of an answer."""
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


DRAWN = (TABLE, GRAPH)
PAGES = tuple(QUESTIONS_OF)
WAYS = [(AtKeyboard, 3, 2, PAGES), (AtPointer, 2, 2, DRAWN), (AtReader, 2, 2, (HAZARDS, *DRAWN))]
"""How many temperatures, how many drops at each, and which pages are written, in every run."""


@pytest.mark.parametrize(
    ("way", "temperatures", "repeats", "pages"),
    WAYS + [pytest.param(way, 5, 5, PAGES, marks=pytest.mark.slow) for way, *_ in WAYS],
)
def test_a_practical_is_done_and_is_the_desktops(page, tmp_path, way, temperatures, repeats, pages):
    pupil = way(page)
    pupil.practises(temperatures, repeats, pages)
    path = saved(page, tmp_path)
    record = read_record(path)
    assert not record.notices
    assert written_here(record, tmp_path / "again.rebound.jsonl") == path.read_bytes()
    same_here(pupil.heard())
    assert len(record.end.rough) == temperatures * repeats
    assert {one.aided for one in record.end.rough} == {way is AtReader}
    found = [one for one in mark(work_of(record.end)).remarks if one.of.page in pages]
    assert [one for one in found if not one.verdict.earns] == []
    assert record.end.book.tries == dict.fromkeys(pages, 2)
    assert main(["readings", str(path)]) == 0
    assert main(["mark", str(path)]) == 0
