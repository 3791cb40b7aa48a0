"""What stands in for numpy in the browser, held against numpy itself."""

import json
import subprocess
import sys
from pathlib import Path

import numpy as np
import pytest

from sim.bench.model.after import PAGES
from sim.bench.model.pages.first_and_last import START
from tests.page import doing
from tests.page.without_libraries import ROOT, STANDIN

WITHOUT = Path(__file__).with_name("without_libraries.py")
WITHIN = 1e-12
"""Of a number's size: what the two ways may differ by."""


def without_numpy(task, *numbers):
    """What a task gives with the stand-in."""
    done = subprocess.run(
        [sys.executable, "-W", "error", WITHOUT, task, *map(str, numbers)],
        capture_output=True,
        check=False,
        text=True,
        encoding="utf-8",
    )
    assert done.returncode == 0, done.stderr
    return json.loads(done.stdout)


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


@pytest.mark.slow
def test_many_works_with_slips_are_marked_alike():
    assert without_numpy("markings", 40, 600) == doing.markings(40, 600)


def test_it_cannot_be_imported_as_numpy():
    program = "import numpy, sim.page; print(numpy.__file__)"
    found = subprocess.run(
        [sys.executable, "-c", program], cwd=ROOT, capture_output=True, check=True, text=True
    ).stdout
    assert not Path(found.strip()).is_relative_to(ROOT / "sim")
    assert not (STANDIN / "__init__.py").exists()


def test_every_page_of_the_book_opens_without_the_libraries():
    found = without_numpy("pages", 3)
    assert list(found) == [START, *PAGES]
    assert all(found.values())
