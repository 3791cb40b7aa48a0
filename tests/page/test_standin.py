"""What stands in for numpy in the browser, held against numpy itself."""

import ast
import io
import json
import re
import subprocess
import sys
import zipfile
from functools import cache
from pathlib import Path
from tempfile import TemporaryDirectory

import numpy as np
import pytest

from analysis.marking import graph, table
from analysis.marking.questions import QUESTIONS_OF
from sim.bench.model.after import PAGES
from sim.bench.model.pages.first_and_last import START
from sim.page import builder
from tests.page import doing
from tests.structure.source import STANDIN, tree_of

WITHOUT = Path(__file__).with_name("without_libraries.py")
WITHIN = 1e-12
"""Of a number's size: what the two ways may differ by."""


@cache
def program():
    """What is packed into the page, unpacked to the end of the tests."""
    folder = TemporaryDirectory()
    with zipfile.ZipFile(io.BytesIO(builder.program_archive())) as packed:
        packed.extractall(folder.name)
    return folder


IMPOSSIBLE_CM = "131"
"""A mean above the height that the ball was dropped from."""
TOGETHER = (
    ("draws", 1),
    ("practicals", 0, 12),
    ("markings", 0, 40),
    ("pages", 3),
    ("marked_with_mean", IMPOSSIBLE_CM),
)
"""What every run does, in one process: to load the program takes longer than to do any of it."""


LOADED = (("held",), ("library_files",))
"""What is asked of a process that has done nothing yet."""


@cache
def results(*tasks):
    """What tasks give with the stand-in, as the page has it."""
    done = subprocess.run(
        [sys.executable, "-W", "error", WITHOUT, program().name, json.dumps(tasks)],
        capture_output=True,
        check=False,
        text=True,
        encoding="utf-8",
    )
    assert done.returncode == 0, done.stderr
    return json.loads(done.stdout)


def without_numpy(*task):
    """What one task gives with the stand-in."""
    return results(*TOGETHER)[TOGETHER.index(task)] if task in TOGETHER else results(task)[0]


def agree(task, *numbers):
    """Hold the words, the readings and the record of practicals equal, and every number near."""
    with_numpy = json.loads(json.dumps(getattr(doing, task)(*numbers)))
    for ours, theirs in zip(without_numpy(task, *numbers), with_numpy, strict=True):
        assert ours[0] == theirs[0]
        for mine, numpys in zip(ours[1], theirs[1], strict=True):
            np.testing.assert_allclose(mine, numpys, rtol=WITHIN, atol=WITHIN)
        assert ours[2] == theirs[2]


def test_random_numbers_are_the_same_to_the_bit():
    assert without_numpy("draws", 1) == json.loads(json.dumps(doing.draws(1)))


@pytest.mark.slow
def test_random_numbers_of_whole_blocks_are_the_same_to_the_bit():
    blocks = len(doing.SEEDS)
    assert without_numpy("draws", blocks) == json.loads(json.dumps(doing.draws(blocks)))


def test_practicals_of_random_acts_have_the_same_readings_numbers_and_record():
    agree("practicals", 0, 12)


@pytest.mark.slow
@pytest.mark.parametrize("first", range(12, 212, 50))
def test_two_hundred_practicals_have_the_same_readings_numbers_and_record(first):
    agree("practicals", first, 50)


def test_works_with_slips_are_marked_alike():
    assert without_numpy("markings", 0, 40) == doing.markings(0, 40)


def test_a_mean_that_cannot_be_is_marked_alike():
    marked = doing.marked_with_mean(IMPOSSIBLE_CM)
    assert without_numpy("marked_with_mean", IMPOSSIBLE_CM) == marked


@pytest.mark.slow
def test_many_works_with_slips_are_marked_alike():
    assert without_numpy("markings", 40, 600) == doing.markings(40, 600)


def test_the_readings_file_is_the_same_to_the_byte():
    assert without_numpy("readings_files", 0, 40) == doing.readings_files(0, 40)


def test_it_cannot_be_imported_as_numpy():
    look = "import numpy, sim.page; print(numpy.__file__)"
    found = subprocess.run(
        [sys.executable, "-c", look],
        cwd=STANDIN.parents[2],
        capture_output=True,
        check=True,
        text=True,
    ).stdout
    assert not Path(found.strip()).is_relative_to(STANDIN)
    assert not (STANDIN / "__init__.py").exists()


def test_every_page_of_the_book_opens_without_the_libraries():
    found = without_numpy("pages", 3)
    assert list(found) == [START, *PAGES]
    assert all(found.values())


REHEARSED = tuple((f"rehearsed.{task}",) for task in ("calls", "lifts", "pieces_ahead", "ahead"))
"""What is counted in one process that has done nothing yet, in this order."""
MOST_CALLS_OF_AN_ACT = 8_500
"""9800 calls took Chromium 13 to 19 ms at a quarter of the processor that this was measured on,
7800 took 8 to 10 ms; an act may take 16 ms."""
MOST_CALLS = 10_000
"""Of one piece done beforehand once the rehearsal is over: 6500 calls took Chromium 10 ms at a
quarter of the processor that this was measured on, and an act may have to wait for them."""


def test_after_the_rehearsal_a_first_drop_and_feedback_are_about_as_quick_as_the_next():
    counts = list(zip(*results(*REHEARSED)[0][1], strict=True))
    assert [(first, later) for first, later in counts if first > 2 * later] == []


def test_no_piece_of_the_rehearsal_keeps_an_act_waiting_long():
    pieces = results(*REHEARSED)[0][0]
    assert max(pieces) < 0.15 * sum(pieces)


def test_no_act_has_more_to_do_than_to_lift_the_ball_after_five_minutes_in_the_bath():
    _, acts = results(*REHEARSED)[0]
    after_20_s, after_five_minutes = results(*REHEARSED)[1]
    assert max(*acts[1], after_20_s) < after_five_minutes < MOST_CALLS_OF_AN_ACT


def test_marking_ahead_goes_in_short_pieces_and_over_nothing_that_stands_as_it_stood():
    opened, at_the_bench, another, written = results(*REHEARSED)[2]
    assert max(*opened, *another, *written) < MOST_CALLS
    assert len(opened) == len(graph.ALL) + 1
    assert len(another) == len(written) == len(table.ALL) + 1
    assert sum(at_the_bench) < 0.01 * sum(opened)


def test_feedback_finds_marked_what_was_marked_in_idle_moments_and_says_the_same():
    ahead, otherwise = results(*REHEARSED)[3]
    assert len(ahead) == len(QUESTIONS_OF)
    for (calls, told), (calls_else, told_else) in zip(ahead, otherwise, strict=True):
        assert calls < 0.5 * calls_else
        assert told == told_else


PARTS = ("linalg", "polynomial", "random", "typing")


def names_used(module):
    """The names of numpy that a module uses: "sqrt", "linalg.eigh"."""
    code = ast.unparse(tree_of(module))
    for whole in re.findall(r"\bnp\.(\w+(?:\.\w+)*)", code):
        names = whole.split(".")
        yield ".".join(names[: 2 if names[0] in PARTS else 1])
    for part, names in re.findall(r"from numpy\.(\w+) import (.+)", code):
        yield from (f"{part}.{name}" for name in names.split(", "))


def test_it_holds_the_names_that_the_page_uses_and_no_more():
    loaded, names = results(*LOADED)[0]
    assert {name for module in loaded for name in names_used(module)} == set(names)


def test_of_the_libraries_it_carries_what_is_loaded_and_no_more():
    packed = [
        one.relative_to(program().name).as_posix()
        for library in doing.LIBRARIES
        for one in Path(program().name, library).rglob("*.py")
    ]
    assert results(*LOADED)[1] == sorted(packed)
