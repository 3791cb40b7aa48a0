"""The search for copies: what must be found, and how seldom it names anybody without a cause."""

import numpy as np
import pytest

from analysis.marking.work import RoughLine
from physics.reading import CAREFUL, HURRIED
from sim.classroom.evidence import Evidence, alike
from sim.procedure import Procedure
from sim.state import Setup
from sim.student import cohort


def class_of(heights_m, places=0):
    students, temperatures, repeats = heights_m.shape
    return {
        number + 1: Evidence(
            tuple(
                RoughLine(20.0 + 10.0 * row, round(heights_m[number, row, repeat] * 100, 6), places)
                for row in range(temperatures)
                for repeat in range(repeats)
            )
        )
        for number in range(students)
    }


def named(evidence):
    return alike(evidence, {})


@pytest.mark.parametrize("observer", [CAREFUL, HURRIED])
@pytest.mark.parametrize("reheat", [True, False])
@pytest.mark.parametrize("classes", [6, pytest.param(400, marks=pytest.mark.slow)])
def test_of_many_honest_classes_nobody_is_named(observer, reheat, classes):
    procedure = Procedure(observer=observer, reheat=reheat)
    everyone = cohort(Setup(seed=3, member=1), procedure, 30 * classes).heights_m
    for heights_m in np.split(everyone, classes):
        assert named(class_of(heights_m, observer.decimal_places_cm)) == ()


def test_nobody_is_named_in_a_large_honest_class():
    heights_m = cohort(Setup(seed=4, member=1), Procedure(), 200).heights_m
    assert named(class_of(heights_m)) == ()


@pytest.mark.parametrize(("altered", "found"), [(0, True), (3, True), (12, False)])
def test_a_copy_is_found_although_a_few_readings_were_altered(altered, found):
    heights_m = cohort(Setup(seed=5, member=1), Procedure(), 30).heights_m
    heights_m[7] = heights_m[21]
    heights_m[7].flat[:altered] += 0.03
    pairs = [(one.first, one.second) for one in named(class_of(heights_m))]
    assert pairs == ([(8, 22)] if found else [])


def test_a_copy_in_a_class_of_two_is_found():
    heights_m = cohort(Setup(seed=6, member=1), Procedure(), 2).heights_m
    assert named(class_of(heights_m)) == ()
    heights_m[0] = heights_m[1]
    assert len(named(class_of(heights_m))) == 1


def test_few_readings_are_never_enough():
    heights_m = cohort(Setup(seed=7, member=1), Procedure(repeats=1), 30).heights_m
    heights_m[0] = heights_m[1]
    assert named(class_of(heights_m)) == ()


def test_a_work_that_went_round_names_all_who_have_it():
    heights_m = cohort(Setup(seed=8, member=1), Procedure(), 30).heights_m
    heights_m[[3, 4]] = heights_m[2]
    pairs = {(one.first, one.second) for one in named(class_of(heights_m))}
    assert pairs == {(3, 4), (3, 5), (4, 5)}


def test_whose_drops_the_readings_fit_is_said():
    readings = class_of(cohort(Setup(seed=9, member=1), Procedure(), 1).heights_m)[1].readings
    (pair,) = named({1: Evidence(readings, misfit_cm=1.0), 2: Evidence(readings, misfit_cm=4.0)})
    assert "1.0 cm from the true heights of practical 1's own drops and 4.0 cm" in pair.why


def test_shared_exact_acts_alone_are_enough():
    first, second = Evidence(prints=frozenset({1, 2, 3})), Evidence(prints=frozenset({3, 4}))
    (pair,) = named({5: first, 9: second, 12: Evidence(prints=frozenset({7}))})
    assert (pair.first, pair.second) == (5, 9)
