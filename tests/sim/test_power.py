"""The chance that a class sees the effect, against exact answers where there are any."""

from dataclasses import replace

import numpy as np
import pytest
from scipy.special import bdtrc
from statsmodels.stats.proportion import proportion_confint

from analysis.paper.document import plain_lines
from analysis.paper.graph_sheet import graph_bytes
from physics.constants import ZERO_CELSIUS_K
from physics.reading import CAREFUL, HURRIED
from sim.actions import NotPossible
from sim.procedure import Procedure
from sim.state import Setup
from sim.teaching.power import (
    HANDS,
    RULES,
    TEST,
    Amount,
    Seen,
    chances,
    draw_power,
    pool,
    power_table,
    wilson,
)

SETUP = Setup(seed=5)
HOT = Procedure(
    temperatures_k=(ZERO_CELSIUS_K + 50.0, ZERO_CELSIUS_K + 60.0),
    soak_s=300.0,
    observer=CAREFUL,
    eye_height_m=0.42,
)
ROOM = replace(HOT, temperatures_k=(ZERO_CELSIUS_K + 20.0,), eye_height_m=0.23)
FEW = Amount(students=4000, classes=4000)


def asked(procedure, sizes, repeats, rule, amount=FEW):
    seen = chances(SETUP, procedure, sizes, repeats, amount)
    return [each for each in seen if each.rule == rule]


@pytest.mark.parametrize(("count", "trials"), [(0, 20), (3, 20), (250, 1000), (999, 1000)])
def test_wilsons_interval_is_that_of_the_statistics_library(count, trials):
    expected = proportion_confint(count, trials, method="wilson")
    assert wilson(count / trials, trials) == pytest.approx(expected, abs=1e-12)


def test_a_show_of_hands_is_a_binomial_of_what_one_student_finds():
    share = float(pool(SETUP, replace(HOT, repeats=2), 4000).smaller.mean())
    for seen in asked(HOT, (1, 5, 12), (2,), HANDS):
        # More than half of n: more than floor(n/2) of them.
        exact = float(bdtrc(seen.class_size // 2, seen.class_size, share))
        assert seen.chance == pytest.approx(exact, abs=0.025)
        assert seen.low < exact < seen.high


def test_new_classes_find_what_dealt_ones_found():
    size = 6
    (dealt,) = asked(HOT, (size,), (3,), TEST)
    # As many students as the classes need: nobody is dealt twice. Other students, too.
    others = chances(replace(SETUP, seed=6), HOT, (size,), (3,), Amount(12_000, 2000))
    fresh = next(each for each in others if each.rule == TEST)
    assert fresh.low < dealt.high
    assert dealt.low < fresh.high
    assert 0.05 < dealt.chance < 0.95


def test_where_there_is_nothing_to_see_luck_alone_decides():
    (hands,) = asked(ROOM, (15,), (5,), HANDS)
    assert hands.chance <= 0.5 + (hands.high - hands.low)
    (test,) = asked(ROOM, (1,), (5,), TEST)
    # A 95 % interval lies below one by luck in 2.5 of 100; rounding and skew spoil it a little.
    assert test.chance < 0.05


def test_more_repeats_and_more_students_see_more():
    by_repeats = [each.chance for each in asked(HOT, (5,), (2, 3, 5), TEST)]
    assert by_repeats == sorted(by_repeats)
    assert by_repeats[0] < by_repeats[-1]
    by_size = [each.chance for each in asked(HOT, (1, 5, 30), (3,), TEST)]
    assert by_size[0] < by_size[1] <= by_size[2]


def test_a_hurried_class_sees_less():
    for rule in RULES:
        careful, hurried = (
            asked(replace(HOT, observer=reader), (5,), (5,), rule)[0]
            for reader in (CAREFUL, HURRIED)
        )
        assert hurried.high < careful.low


def test_the_two_procedures_of_a_student_have_their_own_luck():
    students = pool(SETUP, replace(ROOM, repeats=4), 3000)
    together = np.corrcoef(students.left_m2, students.back_m2)[0, 1]
    # Independent: within four standard errors of nought, 1/sqrt(3000) each.
    assert abs(together) < 0.075


def test_the_interval_owns_up_to_classes_dealt_again():
    (once,) = asked(HOT, (30,), (2,), TEST, Amount(3000, 100))
    (again,) = asked(HOT, (30,), (2,), TEST, Amount(3000, 50_000))
    # A pool of 3000 is worth 100 classes of 30, however often it is dealt.
    width = again.high - again.low
    at_best = np.subtract(*wilson(again.chance, 100)[::-1])
    assert width > 0.95 * at_best
    assert width < once.high - once.low


def test_the_same_seed_gives_the_same_chances():
    once, again = (list(chances(SETUP, HOT, (5,), (2,), FEW)) for _ in range(2))
    assert once == again


def test_readings_that_all_agree_are_no_trouble():
    blunt = replace(ROOM, observer=replace(CAREFUL, graduation_m=0.1))
    assert asked(blunt, (1, 5), (2,), TEST)[0].chance < 0.1
    assert asked(blunt, (5,), (2,), HANDS)[0].chance < 0.1


@pytest.mark.parametrize(
    ("sizes", "repeats", "words"),
    [((5,), (1,), "two repeats"), ((0,), (2,), "from 1 to"), ((5000,), (2,), "from 1 to 4000")],
)
def test_what_no_class_can_do_is_refused(sizes, repeats, words):
    with pytest.raises(NotPossible, match=words):
        list(chances(SETUP, HOT, sizes, repeats, FEW))


SEEN = [
    Seen(size, repeats, rule, 0.1 * repeats, 0.1 * repeats - 0.05, 0.1 * repeats + 0.05)
    for repeats in (2, 5)
    for size in (1, 30)
    for rule in RULES
]


def test_the_table_has_a_row_a_rule_and_size():
    table = power_table(SEEN)
    assert table.headings == ("rule", "students", "2 repeats", "5 repeats")
    assert table.rows[1] == (HANDS, "30", "0.20 (0.15 to 0.25)", "0.50 (0.45 to 0.55)")
    lines = list(plain_lines(table))
    assert len(lines) == len(table.rows) + 1 == 5
    assert lines[2].startswith("show of hands                      30  0.20 (0.15 to 0.25)  0.50")


def test_the_chart_has_a_line_a_class_size_told_apart_without_colour():
    figure = draw_power(SEEN, "title")
    for axes in figure.axes:
        lines = [bars.lines[0] for bars in axes.containers]
        assert len(lines) == 2
        assert len({line.get_marker() for line in lines}) == 2
        assert len({line.get_linestyle() for line in lines}) == 2
        assert {line.get_color() for line in lines} == {"black"}
        assert lines[0].get_ydata() == pytest.approx([0.2, 0.5])
    assert graph_bytes(figure, "png")[:4] == b"\x89PNG"
