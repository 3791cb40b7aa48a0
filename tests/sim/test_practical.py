"""The practical as a fold: what each action does, what it costs, what it refuses."""

import dataclasses

import msgspec
import pytest

from sim import actions as act
from sim.actions import NotPossible
from sim.dropping import DRIPS
from sim.passing import ball_k, is_wet, thermometer_reading_k
from sim.practical import HANDLERS, apply, states
from sim.procedure import JUG_K, KETTLE_K
from sim.soaking import BARE_HAND, HOT_WATER, SPILT
from sim.state import BEAKER_HOLDS_KG, Place, Setup
from tests.sim.steps import done, replay


def test_every_action_has_a_handler_and_a_name_of_its_own():
    kinds = act.Action.__args__
    assert set(HANDLERS) == set(kinds)
    assert len({kind.__struct_config__.tag for kind in kinds}) == len(kinds)


def test_actions_go_to_json_and_back_unchanged():
    done_so_far = [
        act.AddHotWater(0.1, carefully=False),
        act.Wait(0.1 + 0.2),
        act.NoteReading(313.15, 0.37, aided=True),
        act.LayLine(((20.0, 23.0), (60.0, 50.0))),
        act.AskReader(None),
    ]
    for action in done_so_far:
        assert msgspec.json.decode(msgspec.json.encode(action), type=act.Action) == action


def test_replaying_gives_every_state_again_bit_for_bit(setup, at_the_mark):
    actions = [act.AddColdWater(0.14), act.AddHotWater(0.11), act.PutBallIn(), act.Wait(61.7)]
    assert list(states(setup, actions)) == list(states(setup, actions))
    assert replay(setup, actions) == list(states(setup, actions))[-1]


def test_a_state_is_never_changed_in_place(at_the_mark):
    before = dataclasses.replace(at_the_mark)
    apply(at_the_mark, act.Release())
    assert at_the_mark == before


def test_handling_takes_its_time(warm):
    for action in (act.PutBallIn(), act.Wait(3.25), act.WipeFloor(), act.SetEyeLevel(0.5)):
        cost_s = action.time_s if isinstance(action, act.Wait) else action.handling_time_s
        assert apply(warm, action).time_s == pytest.approx(warm.time_s + cost_s)


def test_a_wait_cut_into_pieces_is_the_same_wait(warm):
    in_water = apply(warm, act.PutBallIn())
    whole = apply(in_water, act.Wait(120.0))
    pieces = done(in_water, *[act.Wait(0.5)] * 240)
    assert ball_k(pieces) == pytest.approx(ball_k(whole), abs=1e-9)
    assert pieces.water_k == pytest.approx(whole.water_k, abs=1e-9)
    assert pieces.thermometer_k == pytest.approx(whole.thermometer_k, abs=1e-9)
    out = apply(whole, act.LiftOut())
    assert ball_k(done(out, *[act.Wait(0.1)] * 100)) == pytest.approx(
        ball_k(apply(out, act.Wait(10.0))), abs=1e-9
    )
    # Past the drying of the film, with other things done in between.
    idle = [act.Wait(37.3), act.Hold(0.9), act.Wait(0.01), act.WipeFloor(), act.SetEyeLevel(0.4)]
    idle_s = 37.3 + 0.01 + sum(each.handling_time_s for each in idle)
    late, at_once = done(out, *idle, act.Wait(200.0)), apply(out, act.Wait(idle_s + 200.0))
    assert late.time_s == pytest.approx(at_once.time_s)
    assert ball_k(late) == pytest.approx(ball_k(at_once), abs=1e-9)


def test_water_poured_to_the_ball_warms_it_from_then_on(warm):
    soaking = done(warm, act.PutBallIn(), act.Wait(30.0))
    hotter = done(soaking, act.AddHotWater(0.1), act.Wait(30.0))
    as_before = done(soaking, act.Wait(38.0))
    assert hotter.time_s == as_before.time_s
    assert ball_k(hotter) > ball_k(as_before) + 1.0
    assert hotter.water_k > as_before.water_k + 3.0


def test_dawdling_cools_the_ball_and_a_wet_ball_cools_faster(warm):
    hot = done(warm, act.PutBallIn(), act.Wait(300.0), act.LiftOut())
    wet = apply(hot, act.Wait(30.0))
    dry = done(hot, act.Towel(), act.Wait(25.0))
    assert wet.time_s == dry.time_s
    assert ball_k(wet) < ball_k(dry) < ball_k(hot)


def test_the_thermometer_lags_behind_the_water(warm):
    assert warm.thermometer_k < warm.water_k - 1.0
    settled = apply(warm, act.Wait(60.0))
    assert settled.thermometer_k == pytest.approx(settled.water_k, abs=0.5)


def test_water_mixes_by_heat_capacity(start):
    cold = apply(start, act.AddColdWater(0.2))
    assert cold.water_k == pytest.approx(JUG_K)
    mixed = apply(cold, act.AddHotWater(0.2))
    # The cold half has warmed a little while the kettle was lifted.
    assert mixed.water_k == pytest.approx((JUG_K + KETTLE_K) / 2.0, abs=0.2)
    assert mixed.water_kg == pytest.approx(0.4)


def test_pouring_all_away_leaves_an_empty_beaker(start):
    poured = done(start, *[act.AddColdWater(0.05)] * 6, *[act.PourAway(0.05)] * 6)
    assert poured.water_kg == 0.0
    assert apply(poured, act.Wait(10.0)).water_k == poured.setup.room_k


def test_careless_and_overfull_pouring_spill_and_wiping_mends_it(start):
    careless = apply(start, act.AddColdWater(0.2, carefully=False))
    assert careless.floor_wet
    assert careless.water_kg < 0.2
    assert careless.cautions[-1].text == SPILT
    assert not apply(careless, act.WipeFloor()).floor_wet
    careful = apply(start, act.AddColdWater(0.3))
    assert not careful.floor_wet
    overfull = apply(careful, act.AddColdWater(0.3))
    assert overfull.floor_wet
    assert overfull.water_kg == BEAKER_HOLDS_KG


def test_a_wet_ball_drips_by_the_rule_and_a_dried_one_does_not(warm):
    out = done(warm, act.PutBallIn(), act.Wait(10.0), act.LiftOut())
    dripping = apply(out, act.Hold(1.0))
    assert dripping.floor_wet
    assert dripping.cautions[-1].text == DRIPS
    assert not done(out, act.Towel(), act.Hold(1.0)).floor_wet


def test_a_film_dries_sooner_on_a_hotter_ball(warm):
    """A film of 0.15 g, of which 0.1 to 0.2 g a minute evaporate when the ball is hot."""

    def drips(water, wait_s):
        out = done(water, act.PutBallIn(), act.Wait(300.0), act.LiftOut(), act.Wait(wait_s))
        return apply(out, act.Hold(1.0)).floor_wet

    assert drips(warm, 40.0)
    assert not drips(warm, 300.0)
    cool = done(warm, act.PourAway(0.2), act.AddColdWater(0.25))
    assert drips(cool, 300.0)


def test_bare_fingers_leave_a_hot_ball_where_it_is(start):
    hot = done(start, act.AddHotWater(0.25), act.PutBallIn())
    tried = apply(hot, act.LiftOut(with_tongs=False))
    assert tried.place is Place.WATER
    assert [caution.text for caution in tried.cautions] == [HOT_WATER, BARE_HAND]
    cool = done(start, act.AddColdWater(0.25), act.PutBallIn())
    assert apply(cool, act.LiftOut(with_tongs=False)).place is Place.TONGS


def test_a_drop_is_read_by_the_reader_and_noted(at_the_mark):
    fallen = apply(at_the_mark, act.Release())
    drop = fallen.last_drop
    assert fallen.place is Place.FLOOR
    assert drop.reheated
    assert 0.1 < drop.apex_m < drop.release_height_m
    assert abs(drop.called_out.height_m - drop.apex_m) < 0.2
    noted = apply(fallen, act.NoteReading(317.15, drop.called_out.height_m, aided=True))
    assert noted.rough[0].height_m == drop.called_out.height_m
    with pytest.raises(NotPossible, match="already"):
        apply(noted, act.NoteReading(317.15, 0.3))


def test_by_own_eye_nothing_is_called_out(at_the_mark):
    alone = done(at_the_mark, act.AskReader(None), act.Release())
    assert alone.last_drop.called_out is None


def test_the_next_drop_without_reheating_is_lower_on_the_whole(at_the_mark):
    first = apply(at_the_mark, act.Release())
    second = done(first, act.PickUp(), act.Wait(30.0), act.Hold(1.0), act.Release())
    assert not second.last_drop.reheated
    assert second.last_drop.ball_k < first.last_drop.ball_k


def test_a_struck_reading_stays_with_its_reason_and_frees_the_drop(at_the_mark):
    noted = done(at_the_mark, act.Release(), act.NoteReading(317.15, 0.99))
    with pytest.raises(NotPossible, match="why"):
        apply(noted, act.StrikeReading(0, "  "))
    struck = apply(noted, act.StrikeReading(0, "read the wrong mark"))
    assert struck.rough[0].struck_out == "read the wrong mark"
    again = apply(struck, act.NoteReading(317.15, 0.34))
    assert [line.height_m for line in again.rough] == [0.99, 0.34]


def test_a_ball_just_above_the_floor_is_not_dropped(at_the_mark):
    low = apply(at_the_mark, act.Hold(0.01))
    with pytest.raises(NotPossible, match="5 cm above"):
        apply(low, act.Release())


def test_the_camera_takes_over_from_the_eye(at_the_mark):
    filmed = done(at_the_mark, act.SetUpCamera(240, 0.35), act.Release())
    assert abs(filmed.last_drop.called_out.height_m - filmed.last_drop.apex_m) < 0.02
    assert apply(filmed, act.PutCameraAway()).camera is None


def test_another_ball_may_be_chosen_before_the_first_drop_only(start, at_the_mark):
    slow = apply(start, act.ChooseBall("extra_slow"))
    assert slow.ball.name != start.ball.name
    with pytest.raises(NotPossible, match="control variable"):
        apply(apply(at_the_mark, act.Release()), act.ChooseBall("slow"))


def test_the_book_keeps_what_is_written_and_drawn(start):
    written = done(
        start,
        act.WriteCell(0, 0, "temperature / °C"),
        act.WriteCell(1, 0, "20"),
        act.WriteCell(1, 0, ""),
        act.WriteAnswer("conclusion", "relationship", "it goes up"),
        act.SetAxis("across", "temperature / °C", 20.0, 5.0),
        act.PlotPoint(20.0, 23.0),
        act.PlotPoint(30.0, 29.0),
        act.RubOutPoint(0),
        act.LayLine(((20.0, 22.0), (60.0, 50.0))),
    ).book
    assert dict(written.cells) == {(0, 0): "temperature / °C"}
    assert written.answers["conclusion", "relationship"] == "it goes up"
    assert written.axes["across"].large_square == 5.0
    assert written.crosses == ((30.0, 29.0),)
    assert written.line == ((20.0, 22.0), (60.0, 50.0))


def test_the_book_has_its_bounds(start):
    full = done(start, *(act.WriteAnswer("page", f"question {n}", "x") for n in range(500)))
    with pytest.raises(NotPossible, match="500 answers"):
        apply(full, act.WriteAnswer("page", "one more", "x"))
    assert apply(full, act.WriteAnswer("page", "question 7", "y"))
    crowded = done(start, *[act.PlotPoint(1.0, 2.0)] * 200)
    with pytest.raises(NotPossible, match="200 crosses"):
        apply(crowded, act.PlotPoint(1.0, 2.0))


def test_decimal_places_have_a_bound(at_the_mark):
    fallen = apply(at_the_mark, act.Release())
    with pytest.raises(NotPossible, match="decimal places"):
        apply(fallen, act.NoteReading(317.15, 0.3, decimal_places=10**9))


NAN = float("nan")


@pytest.mark.parametrize(
    ("action", "words"),
    [
        (act.AddHotWater(0.0), "Pour between"),
        (act.AddHotWater(NAN), "Pour between"),
        (act.PourAway(0.1), "beaker holds"),
        (act.PutBallIn(), "not enough water"),
        (act.SetBath(373.15), "dial of the bath goes from 5 °C to 95 °C; 100.0 °C"),
        (act.SetBath(NAN), "dial of the bath"),
        (act.MoveThermometer("beaker"), "stands in the beaker already"),
        (act.Wait(-1.0), "wait"),
        (act.Wait(NAN), "wait"),
        (act.LiftOut(), "not in the water"),
        (act.Towel(), "tongs"),
        (act.Hold(1.0), "tongs first"),
        (act.SetEyeLevel(9.0), "eye"),
        (act.SetEyeLevel(NAN), "eye"),
        (act.Release(), "Hold the ball"),
        (act.NoteReading(293.15, 0.2), "no drop"),
        (act.StrikeReading(0, "slip"), "no line 1"),
        (act.SetUpCamera(25, 0.3), "60 or 240"),
        (act.PutCameraAway(), "no camera"),
        (act.AskReader("nobody"), "nobody"),
        (act.ChooseBall("bouncy"), "bouncy"),
        (act.WriteCell(99, 0, "x"), "row 100"),
        (act.WriteAnswer("conclusion", "relationship", "x" * 5000), "5000"),
        (act.WriteAnswer("x" * 100, "relationship", "x"), "80 letters"),
        (act.SetAxis("up", "height / cm", 0.0, 0.0), "large square"),
        (act.PlotPoint(NAN, 1.0), "two numbers"),
        (act.RubOutPoint(0), "cross number 1"),
        (act.LayLine(((1.0, 2.0),)), "two ends"),
        (act.LayLine(((1.0, 2.0),) * 300), "200 points"),
    ],
)
def test_what_cannot_be_done_is_refused_in_one_sentence(start, action, words):
    with pytest.raises(NotPossible, match=words) as refusal:
        apply(start, action)
    assert "\n" not in str(refusal.value)


def test_two_benches_have_two_balls_and_two_thermometers():
    one, other = Setup(seed=1), Setup(seed=2)
    assert one.ball.loss_ratio_40 != other.ball.loss_ratio_40
    assert one.thermometer_error_k != other.thermometer_error_k


def test_the_thermometer_is_read_to_half_a_degree_with_its_own_error(warm):
    read_c = thermometer_reading_k(warm) - 273.15
    assert read_c * 2.0 == pytest.approx(round(read_c * 2.0), abs=1e-9)


@pytest.fixture
def hot_bath(start):
    """The bath at 60 °C, the thermometer in it, after the quarter of an hour that it takes."""
    return done(start, act.MoveThermometer("bath"), act.SetBath(333.15), act.Wait(900.0))


def test_the_bath_is_waited_for_and_then_holds(start, hot_bath):
    turned = apply(start, act.SetBath(333.15))
    assert turned.bath_changing
    # 40 K at 1 kW in 5 kg of water: 836 s.
    assert apply(turned, act.Wait(830.0)).bath_changing
    assert not apply(turned, act.Wait(840.0)).bath_changing
    later = done(hot_bath, act.PutBallIn("bath"), act.Wait(3600.0))
    assert later.bath_k == hot_bath.bath_k == 333.15
    assert ball_k(later) == pytest.approx(333.15, abs=0.01)
    assert later.thermometer_k == pytest.approx(333.15, abs=0.01)


def test_a_wait_at_the_bath_may_be_cut_anywhere(start):
    acts = (act.MoveThermometer("bath"), act.SetBath(310.15))
    on_the_way = done(start, *acts)
    whole = done(on_the_way, act.Wait(420.0))
    pieces = done(on_the_way, *[act.Wait(0.7)] * 600)
    for name in ("bath_k", "thermometer_k", "water_k"):
        assert getattr(pieces, name) == pytest.approx(getattr(whole, name), abs=1e-9)
    assert ball_k(pieces) == pytest.approx(ball_k(whole), abs=1e-9)
    soaking = apply(whole, act.PutBallIn("bath"))
    whole, pieces = apply(soaking, act.Wait(90.0)), done(soaking, *[act.Wait(0.9)] * 100)
    assert ball_k(pieces) == pytest.approx(ball_k(whole), abs=1e-9)
    assert pieces.thermometer_k == pytest.approx(whole.thermometer_k, abs=1e-9)


def test_the_ball_goes_into_a_bath_that_is_ready_and_the_dial_is_left_while_it_is_there(hot_bath):
    warmer = apply(hot_bath, act.SetBath(343.15))
    with pytest.raises(NotPossible, match="until its lamp goes out"):
        apply(warmer, act.PutBallIn("bath"))
    under = apply(hot_bath, act.PutBallIn("bath"))
    assert under.place is Place.BATH
    for action, words in (
        (act.SetBath(303.15), "Lift the ball out"),
        (act.PutBallIn("beaker"), "in the bath already"),
        (act.PutBallIn("bath"), "in the bath already"),
    ):
        with pytest.raises(NotPossible, match=words):
            apply(under, action)


def test_the_bath_brings_the_cautions_of_hot_water(start, hot_bath):
    assert "Above 50 °C the bath scalds" in hot_bath.cautions[0].text
    assert not apply(start, act.SetBath(313.15)).cautions
    bare = done(hot_bath, act.PutBallIn("bath"), act.LiftOut(with_tongs=False))
    assert bare.place is Place.BATH
    assert "never fingers" in bare.cautions[-1].text
    lifted = apply(bare, act.LiftOut())
    assert lifted.place is Place.TONGS
    assert is_wet(lifted)
    assert lifted.reheated


def test_beaker_and_bath_stand_side_by_side(warm):
    both = done(warm, act.SetBath(333.15), act.PutBallIn("beaker"), act.Wait(900.0))
    alone = done(warm, act.Wait(act.SetBath.handling_time_s), act.PutBallIn(), act.Wait(900.0))
    assert (ball_k(both), both.water_k) == pytest.approx((ball_k(alone), alone.water_k))
    assert both.bath_k == 333.15
    moved = done(both, act.MoveThermometer("bath"), act.Wait(60.0))
    assert moved.thermometer_k == pytest.approx(333.15, abs=0.1)
    assert moved.water_k < 320.0
