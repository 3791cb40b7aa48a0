from dataclasses import replace

import numpy as np
import pytest

from physics.air import Air
from physics.ball import FAST
from physics.ranges import OutOfRange
from physics.transfer.convection import forced_nusselt
from physics.transfer.lookup import read_off
from physics.transfer.surface import (
    dry_loss_w_m2,
    dry_table,
    film_loss_kg_s_m2,
    film_loss_table,
    free_convection_w_m2_k,
    moving_convection_w_m2_k,
    moving_loss_w_m2,
    moving_table,
    skin,
    wet_loss_w_m2,
    wet_table,
)

ROOM_K = 293.15
BODY = skin(FAST)


@pytest.mark.parametrize(
    ("table", "law"),
    [
        (dry_table(FAST, ROOM_K), lambda surface_k: dry_loss_w_m2(BODY, surface_k, ROOM_K)),
        (wet_table(FAST, ROOM_K), lambda surface_k: wet_loss_w_m2(BODY, surface_k, ROOM_K)),
        (film_loss_table(FAST, ROOM_K), lambda s: film_loss_kg_s_m2(BODY, s, ROOM_K)),
        (moving_table(FAST, ROOM_K, 2.0), lambda s: moving_loss_w_m2(BODY, s, ROOM_K, 2.0)),
    ],
)
def test_a_table_is_the_law_it_was_made_from(table, law):
    excess_k = np.array([-18.3, -3.1, 7.7, 21.9, 44.4, 61.2])
    np.testing.assert_allclose(read_off(table, excess_k), law(ROOM_K + excess_k), rtol=3e-3)


def test_dry_flux_grows_with_the_surface_and_wet_flux_vanishes_once_in_every_room():
    for room_k in np.linspace(275.15, 318.15, 10):
        assert (dry_table(FAST, room_k).rises > 0.0).all()
        wet = wet_table(FAST, room_k).values
        assert np.count_nonzero(np.diff(np.sign(wet))) == 1
        assert wet[0] < 0.0 < wet[-1]


def test_a_wet_ball_loses_more_and_a_moving_one_too():
    for excess_k in (10.0, 30.0, 50.0):
        still = dry_loss_w_m2(BODY, ROOM_K + excess_k, ROOM_K)
        assert wet_loss_w_m2(BODY, ROOM_K + excess_k, ROOM_K) > 2.0 * still
        assert moving_loss_w_m2(BODY, ROOM_K + excess_k, ROOM_K, 2.0) > 2.0 * still


def test_a_ball_that_hardly_moves_has_free_convection():
    slow = moving_convection_w_m2_k(0.040, 320.0, ROOM_K, 0.0)
    assert slow == pytest.approx(free_convection_w_m2_k(0.040, 320.0, ROOM_K))
    assert moving_convection_w_m2_k(0.040, 320.0, ROOM_K, 3.0) > 4.0 * slow


def test_a_fast_ball_has_the_forced_correlation_with_the_stream_s_conductivity():
    room, surface_k = Air(ROOM_K), 348.15
    reynolds = 4.0 * 0.040 / room.kinematic_viscosity_m2_s
    ratio = room.viscosity_pa_s / Air(surface_k).viscosity_pa_s
    forced = forced_nusselt(reynolds, room.prandtl, ratio) * room.conductivity_w_m_k / 0.040
    found = moving_convection_w_m2_k(0.040, surface_k, ROOM_K, 4.0)
    assert found == pytest.approx(forced, rel=0.01)
    assert found >= forced


def test_the_cooling_factor_multiplies_what_air_takes():
    quicker = skin(replace(FAST, cooling_factor=1.5))
    assert dry_loss_w_m2(quicker, 330.0, ROOM_K) == 1.5 * dry_loss_w_m2(BODY, 330.0, ROOM_K)
    assert wet_loss_w_m2(quicker, 330.0, ROOM_K) == pytest.approx(
        1.5 * wet_loss_w_m2(BODY, 330.0, ROOM_K)
    )


def test_another_room_or_speed_is_refused():
    with pytest.raises(OutOfRange, match="room temperature 200 K"):
        dry_table(FAST, 200.0)
    with pytest.raises(OutOfRange, match="room temperature 350 K"):
        wet_table(FAST, 350.0)
    with pytest.raises(OutOfRange, match="speed through the air 30 m/s"):
        moving_table(FAST, ROOM_K, 30.0)
