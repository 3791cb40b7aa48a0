"""Classes of up to 2,000 marked, 200 students given sheets, 100,000 given readings: timed."""

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
from sim.procedure import Procedure
from tests.sim.classroom.pupils import bench, record_bytes, with_book

pytestmark = pytest.mark.performance

SIZES = (250, 500, 1000, 2000)
MOST_READINGS_S = 20.0
MOST_MARKING_S = 100.0
"""Of one processor for 2,000 hand-ins, however many share the work and whatever else the machine
does: these are about 50 s on two, where a minute is wanted."""
MOST_BENT = 1.2
"""Times as long for each of 2,000 hand-ins as for each of 250, the copies compared."""
MOST_SHEET_S = 0.2
"""Of one processor for a name: 1,000 names in 100 s on two."""


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


def test_two_thousand_records_are_marked_in_a_minute_of_two_processors_and_no_slower_each(
    key, records, tmp_path
):
    worked_s = {}
    for size in SIZES:
        before_s = processor_s()
        time_s = _collected_s(key, records[:size], tmp_path / str(size))
        worked_s[size] = processor_s() - before_s
        print(f"\n{size} records: {time_s:.1f} s, of one processor {worked_s[size]:.1f} s")
    assert worked_s[2000] < MOST_MARKING_S
    assert worked_s[2000] / 2000 < MOST_BENT * worked_s[250] / 250


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


def test_a_class_set_with_sheets_takes_a_fifth_of_a_second_a_name_of_one_processor(tmp_path):
    before_s = processor_s()
    time_s = _class_set_s(tmp_path, 200)
    each_s = (processor_s() - before_s) / 200
    print(f"\n200 records and sheets: {time_s:.1f} s, {each_s:.2f} s a name (limit {MOST_SHEET_S})")
    assert len(list((tmp_path / "set").rglob("*.pdf"))) == 202
    assert each_s < MOST_SHEET_S


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
