"""Noted temperatures against ball and water: what must be told, and what is an honest mistake."""

import re
from dataclasses import replace
from functools import reduce

import pytest

from analysis.quantity.units import kelvin
from sim import actions as act
from sim.classroom.class_key import handed_in, record_name, setup_for
from sim.classroom.examine import Examiner
from sim.commands.collect import collected
from sim.passing import thermometer_reading_k
from sim.practical import apply
from sim.procedure import DEMO_PROCEDURE
from sim.state import beginning
from sim.student import perform
from tests.sim.classroom.pupils import Practical, record_bytes

NAMES = ("Ada", "Bo")
PLANNED_C = (20.0, 30.0, 40.0, 50.0, 60.0)


@pytest.fixture(scope="session")
def pair(make_key):
    return make_key(41, NAMES)


@pytest.fixture
def told(pair, tmp_path):
    """What the teacher is told to check of a practical that these actions made."""

    def of(actions):
        practical = Practical(setup_for(pair, 1), NAMES[0], tuple(actions))
        (tmp_path / record_name(pair, 1)).write_bytes(record_bytes(practical))
        work = collected(Examiner(pair), handed_in(tmp_path))
        return [one.why for one in work.to_see if "noted at a temperature" in one.why]

    return of


def noted(actions, degrees_of):
    """The same acts with other temperatures noted: `degrees_of` the reading's number and own."""
    count = iter(range(len(actions)))
    return [
        replace_temperature(one, degrees_of(next(count), one.temperature_k))
        if isinstance(one, act.NoteReading)
        else one
        for one in actions
    ]


def replace_temperature(note, temperature_k):
    return act.NoteReading(temperature_k, note.height_m, note.aided, note.decimal_places)


def cold_drops(pair, water=()):
    """25 drops of a ball that no water ever warmed, as the aid reads them."""
    acts = [act.AskReader("hurried"), *water]
    state = reduce(apply, acts, beginning(setup_for(pair, 1)))
    for number in range(25):
        for one in (act.PickUp(), act.Hold(1.0), act.Release()):
            acts.append(one)
            state = apply(state, one)
        read_m = float(state.last_drop.called_out.height_m)
        planned_k = kelvin(PLANNED_C[number // 5])
        acts.append(act.NoteReading(planned_k, read_m, aided=True))
        state = apply(state, acts[-1])
    return acts


def test_a_cold_ball_with_invented_temperatures_is_told(pair, told):
    (why,) = told(cold_drops(pair))
    assert "20 readings are noted" in why
    assert "where the first says 30 °C, the ball was at 20 °C and had been in no water" in why
    assert "Worth a talk." in why
    assert "cheat" not in why


def test_hot_water_that_the_ball_was_never_in_bears_nothing_out(pair, told):
    (why,) = told(cold_drops(pair, (act.AddHotWater(0.2),)))
    assert "20 readings are noted" in why


@pytest.mark.parametrize("bath", ["kept", "beaker"])
def test_a_ball_soaked_cold_and_noted_hot_is_told_with_its_water(pair, told, bath):
    actions = perform(setup_for(pair, 1), replace(DEMO_PROCEDURE, bath=bath)).actions
    (why,) = told(noted(actions, lambda at, own_k: own_k + (30.0 if at < 5 else 0.0)))
    assert "5 readings are noted" in why
    assert re.search(r"first says 50 °C, the ball was at 2[01] °C, the water of its last soak", why)


def test_the_scripted_practical_and_a_thermometer_read_off_by_a_degree_are_in_order(pair, told):
    for reheat in (False, True):
        plan = replace(DEMO_PROCEDURE, reheat=reheat)
        actions = perform(setup_for(pair, 1), plan).actions
        assert told(noted(actions, lambda at, own_k: own_k + (-1.0) ** at)) == []


@pytest.mark.parametrize(("bath", "adjusting"), [("kept", act.SetBath), ("beaker", act.PourAway)])
def test_the_water_read_before_it_was_adjusted_is_in_order(pair, told, bath, adjusting):
    actions = perform(setup_for(pair, 1), replace(DEMO_PROCEDURE, bath=bath)).actions
    state, shown_k = beginning(setup_for(pair, 1)), []
    for one in actions:
        if isinstance(one, adjusting):
            shown_k.append(thermometer_reading_k(state))
        state = apply(state, one)
    assert len(shown_k) >= 4
    before_k = shown_k[-4:]  # the sets from the second on; the first water was mixed as wanted
    assert max(kelvin(c) - k for c, k in zip(PLANNED_C[1:], before_k, strict=True)) > 8.0
    assert told(noted(actions, lambda at, own_k: own_k if at < 5 else before_k[at // 5 - 1])) == []


def test_a_ball_that_cools_over_many_drops_off_one_soak_is_in_order(pair, told):
    fill = (act.AddColdWater(0.1), act.AddHotWater(0.15), act.PutBallIn(), act.Wait(300.0))
    actions = [*fill, act.LiftOut(), act.Towel()]
    for _ in range(12):
        actions += [act.Hold(1.0), act.Release(), act.NoteReading(kelvin(59.0), 0.4)]
        actions += [act.Wait(60.0), act.PickUp()]
    assert told(actions) == []


def test_a_set_at_the_rooms_warmth_needs_no_soak(pair, told):
    actions = [act.PickUp()]
    for _ in range(5):
        actions += [act.Hold(1.0), act.Release(), act.NoteReading(kelvin(21.0), 0.25)]
        actions += [act.PickUp()]
    assert told(actions) == []
