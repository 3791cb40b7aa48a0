"""A class of 1,000 marked, 30 students given sheets, 100,000 given readings: timed."""

import os
from concurrent.futures import ProcessPoolExecutor
from functools import partial
from multiprocessing import get_context
from time import perf_counter

import pytest

from analysis.files import staged
from physics.ball import FAST
from sim.__main__ import main
from sim.classroom.class_key import Handout, handed_in, new_key, record_name
from sim.classroom.examine import Examiner
from sim.commands.collect import collected, put_results
from sim.state import Procedure
from tests.sim.classroom.pupils import bench, record_bytes, with_book

pytestmark = pytest.mark.performance

SIZES = (250, 500, 1000)
MOST_SHEETS_S, MOST_READINGS_S = 30.0, 20.0
MOST_MARKING_S = 30.0
"""Of one processor, however many share the work and whatever else the machine does: about fifteen
seconds on two."""
MOST_PROCESSOR_S = 30.0
"""Of a thousand records: 15 s on two processors. A loaded machine does not lengthen it."""
MOST_BENT = 1.3
"""Twice the records may take 2.6 times as long; a quadratic would take four times."""


def full_record(key, number):
    return record_bytes(with_book(bench(key, number)))


@pytest.fixture(scope="module")
def key():
    names = tuple(f"Larkmere Pupil {number:04}" for number in range(1, SIZES[-1] + 1))
    return new_key(Handout("records", FAST, Procedure()), names, 1)


@pytest.fixture(scope="module")
def records(key):
    with ProcessPoolExecutor(mp_context=get_context("spawn")) as pool:
        return list(pool.map(partial(full_record, key), range(1, SIZES[-1] + 1), chunksize=25))


def test_marking_a_thousand_records_takes_half_a_minute_of_a_processor_and_is_linear(
    key, records, tmp_path
):
    worked_s = []
    for size in SIZES:
        before_s = processor_s()
        time_s = _collected_s(key, records[:size], tmp_path / str(size))
        worked_s.append(processor_s() - before_s)
        print(f"\n{size} records: {time_s:.1f} s, of one processor {worked_s[-1]:.1f} s")
    assert worked_s[-1] < MOST_MARKING_S
    assert worked_s[1] < 2 * MOST_BENT * worked_s[0]
    assert worked_s[2] < 2 * MOST_BENT * worked_s[1]


def processor_s():
    """Processor time of this process and of those that have ended."""
    return sum(os.times()[:4])


def _collected_s(key, records, folder):
    folder.mkdir()
    for number, content in enumerate(records, start=1):
        (folder / record_name(key, number)).write_bytes(content)
    begun = perf_counter()
    work = collected(Examiner(key), handed_in(folder))
    with staged(folder.with_suffix(".out"), force=False) as stage:
        put_results(stage, key, work)
    assert len(work.students) == len(records)
    assert work.copies == ()
    return perf_counter() - begun


def test_a_class_of_thirty_with_printed_sheets(tmp_path):
    time_s = _class_set_s(tmp_path, 30)
    print(f"\n30 records and sheets: {time_s:.1f} s (limit {MOST_SHEETS_S})")
    assert len(list((tmp_path / "set").rglob("*.pdf"))) == 32
    assert time_s < MOST_SHEETS_S


def test_readings_for_a_hundred_thousand(tmp_path):
    time_s = _class_set_s(tmp_path, 100_000, "--readings-only")
    print(f"\n100,000 sets of readings: {time_s:.1f} s (limit {MOST_READINGS_S})")
    assert time_s < MOST_READINGS_S


def _class_set_s(folder, students, *options):
    names = folder / "names.csv"
    names.write_text("name\n" + "\n".join(f"Pupil {n}" for n in range(students)), encoding="utf-8")
    begun = perf_counter()
    assert main(["classset", str(names), "--out", str(folder / "set"), *options]) == 0
    return perf_counter() - begun
