"""A cohort of 100,000 students against the draw of its standard normals, in one run."""

import subprocess
import sys
from time import perf_counter

import numpy as np
import pytest

from physics.reading import CAREFUL
from sim.procedure import Procedure
from sim.state import Setup
from sim.student import cohort

pytestmark = pytest.mark.performance

STUDENTS = 100_000
DROPS = 25
NORMALS_A_DROP = 4
"""Hand, instant, place and handling; the three uniforms of the slips are not counted."""
MOST_TIMES = 4.0
MOST_PEAK_KIB = 2 * 1024 * 1024


def draw_normals():
    """As many normals as the model needs, from the generator that the model uses."""
    return np.random.Generator(np.random.Philox(1)).standard_normal(
        STUDENTS * DROPS * NORMALS_A_DROP
    )


def seconds(work, rounds=5):
    return min(_once(work) for _ in range(rounds))


def _once(work):
    begun = perf_counter()
    work()
    return perf_counter() - begun


def test_a_cohort_costs_at_most_four_times_its_normals(benchmark):
    benchmark.pedantic(cohort, (Setup(seed=1), Procedure(), STUDENTS), rounds=5, warmup_rounds=1)
    normals_s = seconds(draw_normals)
    ratio = benchmark.stats.stats.min / normals_s
    print(f"\ncohort of {STUDENTS} x {DROPS}: {ratio:.2f} x its normals (limit {MOST_TIMES})")
    for name, procedure in {
        "careful reader": Procedure(observer=CAREFUL),
        "reheated": Procedure(reheat=True),
    }.items():
        other_s = seconds(lambda plan=procedure: cohort(Setup(seed=1), plan, STUDENTS), rounds=3)
        print(f"  {name}: {other_s / normals_s:.2f} x")
    assert ratio <= MOST_TIMES


def test_its_peak_memory_is_under_two_gibibytes():
    script = (
        "from sim.student import cohort; from sim.state import Procedure; "
        "from sim.state import Setup; import resource; "
        f"cohort(Setup(seed=1), Procedure(), {STUDENTS}); "
        "print(resource.getrusage(resource.RUSAGE_SELF).ru_maxrss)"
    )
    done = subprocess.run(
        [sys.executable, "-c", script], capture_output=True, text=True, check=True
    )
    peak_kib = int(done.stdout)
    print(f"\npeak memory: {peak_kib / 1024:.0f} MiB (limit {MOST_PEAK_KIB / 1024:.0f} MiB)")
    assert peak_kib < MOST_PEAK_KIB
