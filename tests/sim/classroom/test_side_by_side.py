"""Many processes give what one gives, and one that dies takes no other file with it."""

import os
from dataclasses import dataclass

import pytest

from sim.classroom import examine as side_by_side
from sim.classroom.class_key import HandedFile, handed_in
from sim.classroom.examine import Examiner, examined


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


def test_several_processes_give_what_one_gives(key, club, pooled):
    files, examiner = handed_in(club[0])[:5], Examiner(key)
    steps = []
    results = side_by_side.all_examined(examiner, files, steps.append)
    assert results == [examined(examiner, found) for found in files]
    assert sum(steps) == 5


@pytest.mark.slow
def test_a_process_that_dies_is_told_and_the_other_files_are_marked(key, club, pooled):
    first, second, third = handed_in(club[0])[:3]
    deadly = Deadly(second.path, second.name, second.kind)
    results = side_by_side.all_examined(Examiner(key), (first, deadly, third), lambda n: n)
    assert [bool(one.refused) for one in results] == [False, True, False]
    assert "stopped the program" in results[1].refused


def test_a_fault_of_the_program_over_one_file_is_told_as_its_own(key, club, monkeypatch):
    def broken(*_):
        raise ZeroDivisionError("by nought")

    monkeypatch.setattr("sim.classroom.examine.mark", broken)
    result = examined(Examiner(key), handed_in(club[0])[0])
    assert "fault of this program (ZeroDivisionError: by nought)" in result.refused
