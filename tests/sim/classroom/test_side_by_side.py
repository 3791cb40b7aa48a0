"""Many processes give what one gives, and one that dies takes no other item with it."""

import io
import os
import re
from dataclasses import dataclass
from functools import partial

import pytest

from sim import progress
from sim.__main__ import main
from sim.classroom import side_by_side
from sim.classroom.class_key import HandedFile, handed_in, key_bytes
from sim.classroom.examine import Examiner, all_examined, examined
from sim.classroom.side_by_side import SharedWork
from tests.sim.classroom.halving import DEADLY, ONCE, halved, lost


@dataclass(frozen=True)
class Deadly(HandedFile):
    """A file over which its process dies as soon as it gets it."""

    def __reduce__(self):
        return os._exit, (1,)


@pytest.fixture
def pooled(monkeypatch):
    monkeypatch.setattr(side_by_side, "FEW", 0)
    monkeypatch.setattr(side_by_side, "A_PIECE", 2)
    monkeypatch.setattr(os, "cpu_count", lambda: 1)  # a new process starts for a second or two


def done(items, folder):
    """What came of the items, in their order, and how many processes had a hand in it."""
    results = {}

    def take(place, result):
        assert place not in results
        results[place] = result

    SharedWork(partial(halved, folder=str(folder)), lost, take).do(items)
    processes = len([one for one in folder.iterdir() if one.name != "spent"])
    return [results[place] for place in range(len(items))], processes


@pytest.mark.parametrize("cores", [1, 2])
def test_work_is_shared_by_as_many_processes_as_there_are_cores(cores, tmp_path, monkeypatch):
    monkeypatch.setattr(os, "cpu_count", lambda: cores)
    items = list(range(side_by_side.FEW + 1))
    results, processes = done(items, tmp_path)
    assert results == [item / 2 for item in items]
    assert 1 <= processes <= cores
    assert str(os.getpid()) not in [one.name for one in tmp_path.iterdir()]


def test_a_few_are_done_here_without_another_process(tmp_path):
    results, processes = done([4, 6], tmp_path)
    assert results == [2, 3]
    assert (tmp_path / str(os.getpid())).exists()
    assert processes == 1


def test_two_deadly_items_among_many_cost_themselves_and_few_processes(tmp_path, monkeypatch):
    """A process for each item that is left would start for an hour in a class of thousands."""
    monkeypatch.setattr(os, "cpu_count", lambda: 2)
    items = [float(item) for item in range(300)]
    items[3] = items[250] = DEADLY
    items[100] = ONCE
    results, processes = done(items, tmp_path)
    expected = [item / 2 for item in items]
    expected[3] = expected[250] = f"lost {DEADLY}"
    assert results == expected
    assert processes <= 12


def test_several_processes_give_what_one_gives(key, club, pooled):
    files, examiner = handed_in(club[0])[:5], Examiner(key)
    steps = []
    results = all_examined(examiner, files, lambda: steps.append(1))
    assert results == [examined(examiner, found) for found in files]
    assert len(steps) == 5


@pytest.mark.slow
def test_a_process_that_dies_is_told_and_the_other_files_are_marked(key, club, pooled):
    first, second, third = handed_in(club[0])[:3]
    deadly = Deadly(second.path, second.name, second.kind)
    results = all_examined(Examiner(key), (first, deadly, third), lambda: None)
    assert [bool(one.refused) for one in results] == [False, True, False]
    assert "stopped the program" in results[1].refused


def test_a_fault_of_the_program_over_one_file_is_told_as_its_own(key, club, monkeypatch):
    def broken(*_):
        raise ZeroDivisionError("by nought")

    monkeypatch.setattr("sim.classroom.examine.mark", broken)
    result = examined(Examiner(key), handed_in(club[0])[0])
    assert "fault of this program (ZeroDivisionError: by nought)" in result.refused


@pytest.fixture
def steps(tmp_path, monkeypatch):
    """The steps of every bar: what is done, how many are done, of how many, files made by then."""
    taken = []

    class Seen(progress.tqdm):
        def __init__(self, **given):
            super().__init__(**{**given, "disable": False, "file": io.StringIO()})

        def update(self, n=1):
            super().update(n)
            made = [path for path in tmp_path.rglob("*") if path.suffix in (".pdf", ".html")]
            taken.append((self.desc, self.n, self.total, len(made)))

    monkeypatch.setattr(progress, "tqdm", Seen)
    return taken


def counted(steps, doing):
    """The steps of one bar, of which each is one more, up to the last of them all."""
    ours = [step[1:] for step in steps if step[0] == doing]
    totals = {total for _, total, _ in ours}
    assert [done for done, _, _ in ours] == list(range(1, len(ours) + 1))
    assert totals == {len(ours)}
    return [made for _, _, made in ours]


def test_the_bars_of_a_class_set_count_the_files_that_are_made(tmp_path, steps):
    names = tmp_path / "names.csv"
    names.write_text("name\nAda\nBo\nCy\n", encoding="utf-8")
    assert main(["classset", str(names), "--out", str(tmp_path / "set")]) == 0
    assert len(counted(steps, "readings")) == 3
    assert counted(steps, "sheets") == [1, 2, 3, 4, 5]
    assert len(list(tmp_path.rglob("*.pdf"))) == 5


def test_the_bars_of_a_collecting_are_full_when_the_last_page_is_made(key, club, tmp_path, steps):
    (tmp_path / "key.json").write_bytes(key_bytes(key))
    words = ["collect", str(club[0]), "--key", str(tmp_path / "key.json")]
    assert main([*words, "--out", str(tmp_path / "out")]) == 0
    assert len(counted(steps, "marking")) == 30
    # The workbook and the class page, which take longest, before a page for each of 29.
    assert counted(steps, "feedback") == list(range(31))
    assert len(counted(steps, "comparing")) == 1
    assert len(list((tmp_path / "out").rglob("*.html"))) == 30


def contents(folder):
    """Each file of a set; of a PDF without its moment and the number made of it."""
    moment = re.compile(rb"/CreationDate \(.*?\)|/ID \[.*?\]")
    return {
        path.relative_to(folder): moment.sub(b"", path.read_bytes())
        for path in folder.rglob("*")
        if path.is_file()
    }


def test_a_class_set_made_by_two_processes_is_that_made_by_one(tmp_path, pooled, monkeypatch):
    names = tmp_path / "names.csv"
    names.write_text("name\nمحمد\n李小龍\n", encoding="utf-8")
    words = ["classset", str(names), "--seed", "7", "--out"]
    monkeypatch.setattr(os, "cpu_count", lambda: 2)
    assert main([*words, str(tmp_path / "two")]) == 0
    monkeypatch.setattr(side_by_side, "FEW", 40)
    assert main([*words, str(tmp_path / "one")]) == 0
    assert contents(tmp_path / "one") == contents(tmp_path / "two")
    assert len(contents(tmp_path / "one")) == 2 * 2 + 4
