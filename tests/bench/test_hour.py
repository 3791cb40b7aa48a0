"""A scripted pupil at the keyboard: how many keys a drop takes, and how long the whole practical.

Keys go through the window's own events and waits through the bench's own clock. How long a pupil
takes over a key, a look and a thought is assumed, generously, and stands below; none has a source.
"""

import math

import pygame as K
import pytest

from analysis.marking.questions import QUESTIONS_OF
from sim import actions as act
from sim.bench.model.desk import passed
from sim.bench.model.pages.first_and_last import MINUTES, on_card
from sim.marking import sets_of
from sim.passing import thermometer_reading_k
from sim.procedure import SHORT, WHOLE, Procedure
from sim.state import Setup
from sim.student import perform
from tests.bench.hands import bench, key, text
from tests.bookwork import book_actions

NEW_TEMPERATURE_KEYS = 24
"""The dial, the bath and the soak hastened, towel, rule, eye and the temperature written anew."""
SLACK = 1.25
"""A quarter on top for slips, second thoughts and neighbours: what the card says includes it."""
LETTER_S, KEY_S = 0.4, 1.2
"""A letter typed (30 words a minute), and a key of the apparatus found and pressed."""
CARD_S, THERMOMETER_S, REBOUND_S = 45.0, 6.0, 8.0
"""The card read; the thermometer read; the rebound watched, read and thought over."""
CELL_S, MEAN_S, CROSS_S, LINE_S = 2.0, 20.0, 20.0, 60.0
"""Thought over a cell copied, a mean worked out, a cross placed, the line laid."""
THOUGHT_S = {"sentences": 30.0, "words": 15.0, "choice": 10.0, "number": 10.0, "quantity": 25.0}
"""Thought over an answer, by its form."""


class Pupil:
    """Presses keys at a bench, and lets the time pass that each takes."""

    def __init__(self, setup):
        self.at = bench(setup)
        self.at.desk = on_card(self.at.desk)
        self.keys = 0

    @property
    def state(self):
        return self.at.desk.state

    def takes(self, seconds):
        for _ in range(math.ceil(seconds / 0.1)):
            self.at._do(passed(self.at.desk, 0.1))

    def press(self, *codes):
        for code in codes:
            key(self.at, code)
            self.keys += 1
            self.takes(KEY_S)

    def type(self, letters):
        text(self.at, letters)
        self.keys += len(letters)
        self.takes(LETTER_S * len(letters))

    def wait_hastened(self):
        self.press(K.K_s)
        while self.at.desk.hasty_until_s is not None:
            self.takes(0.5)

    def reads_and_writes(self, unit):
        """Watch the rebound, and write it down; of a new temperature that as well."""
        self.takes(REBOUND_S)
        self.press(K.K_n)
        if self.at.desk.focus == "rough.temperature":
            shown_c = thermometer_reading_k(self.state) - 273.15
            self.type(f"{shown_c:.1f}{' C' if unit else ''}")
            self.press(K.K_RETURN)
        self.type(f"{self.state.last_drop.apex_m * 100:.1f}{' cm' if unit else ''}")
        self.press(K.K_RETURN)

    def levels_eye(self):
        """The first time by Page keys, afterwards at the height read last."""
        if self.state.rough:
            self.press(K.K_l)
            return
        for _ in range(9):
            key(self.at, K.K_PAGEDOWN, K.KMOD_SHIFT)
            self.keys += 1
            self.takes(KEY_S)

    def prepares(self, degrees):
        """The dial turned, the bath waited for, the thermometer read, the ball soaked."""
        self.press(*[K.K_d] * (degrees // 5))
        if self.state.thermometer_in == "beaker":
            self.press(K.K_m)
        if degrees:
            self.wait_hastened()
        self.takes(THERMOMETER_S)
        self.press(K.K_v)
        self.wait_hastened()
        self.press(K.K_t, K.K_r)

    def drops(self):
        self.press(K.K_SPACE)
        self.reads_and_writes(unit=not self.state.rough)


def practised(extent):
    """The readings of a whole extent: the pupil, and the keys of each drop after the first."""
    pupil = Pupil(Setup(seed=3))
    pupil.takes(CARD_S)
    pupil.press(*([K.K_TAB] if extent == SHORT else []), K.K_RETURN)
    first_s, spent = math.nan, []
    step = 40 // (extent.temperatures - 1)
    for number in range(extent.temperatures):
        for repeat in range(extent.repeats):
            before = pupil.keys
            if repeat == 0:
                pupil.prepares(step if number else 0)
                pupil.levels_eye()
            else:
                pupil.press(K.K_r)
            pupil.drops()
            spent.append(pupil.keys - before)
            if math.isnan(first_s):
                first_s = pupil.at.desk.clock_s
    return pupil, first_s, spent


def book_s(extent):
    """How long the pages take to write, in letters and thoughts, of a book that is all right."""
    celsius = [20.0 + 40.0 * n / (extent.temperatures - 1) for n in range(extent.temperatures)]
    plan = Procedure(tuple(c + 273.15 for c in celsius), repeats=extent.repeats)
    forms = {(q.page, q.name): q.answer.form for qs in QUESTIONS_OF.values() for q in qs}
    total_s = LINE_S
    for one in book_actions(perform(Setup(seed=3), plan).end):
        if isinstance(one, act.WriteCell):
            is_mean = one.row > 0 and one.column == extent.repeats + 1
            total_s += (MEAN_S if is_mean else CELL_S) + LETTER_S * (len(one.text) + 1)
        elif isinstance(one, act.WriteAnswer):
            thought_s = THOUGHT_S.get(forms.get((one.page, one.question), ""), 0.0)
            total_s += thought_s + LETTER_S * (len(one.text) + 1)
        elif isinstance(one, act.PlotPoint):
            total_s += CROSS_S
    return total_s


@pytest.mark.parametrize("extent", [WHOLE, SHORT])
def test_the_practical_fits_its_time(extent):
    pupil, first_s, spent = practised(extent)
    assert len(pupil.state.rough) == extent.temperatures * extent.repeats
    assert [len(one.standing) for one in sets_of(pupil.state.rough)] == [
        extent.repeats
    ] * extent.temperatures
    again = [n for at, n in enumerate(spent) if at % extent.repeats]
    bench_min, pages_min = pupil.at.desk.clock_s / 60.0, book_s(extent) / 60.0
    print(extent, first_s, spent, bench_min, pages_min)
    assert first_s <= 300.0
    assert max(again) <= 10
    assert max(spent[1:]) <= NEW_TEMPERATURE_KEYS
    assert (bench_min + pages_min) * SLACK == pytest.approx(MINUTES[extent], abs=2.5)
