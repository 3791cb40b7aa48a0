"""Fall and rise through air against integrators and independently worked values.

`fluids` 1.3 (integrate_drag_sphere: drag after Barati 2014, buoyancy, g = 9.80665 m/s²);
`scipy.integrate.solve_ivp` with the whole drag curve; closed-form values worked by hand with
constant drag coefficient 0.45, density 1.2041 kg/m³, g = 9.81 m/s², 24 g, 40 mm, no buoyancy.
"""

import math

import numpy as np
import pytest
from fluids import integrate_drag_sphere
from scipy.integrate import solve_ivp

from physics import flight
from physics.air import Air
from physics.ball import FAST
from physics.constants import STANDARD_GRAVITY_M_S2
from physics.flight import (
    Fall,
    drag_coefficient,
    fall_time_s,
    impact_speed_m_s,
    rebound_height_m,
)

ROOM_K = 293.15
AIR = Air(ROOM_K)


def whole_curve(start, ends, seconds=2.0):
    """Height and velocity (upwards) integrated with the drag coefficient of each moment."""
    weight = 1.0 - AIR.density_kg_m3 / FAST.density_kg_m3
    per_m = AIR.density_kg_m3 * math.pi * 0.020**2 / (2.0 * FAST.mass_kg)

    def law(_, y):
        speed = abs(y[1])
        reynolds = max(speed * 0.040 / AIR.kinematic_viscosity_m2_s, 0.1)
        drag = per_m * drag_coefficient(reynolds) * speed * y[1]
        return [y[1], -STANDARD_GRAVITY_M_S2 * weight - drag]

    ends.terminal = True
    found = solve_ivp(law, (0.0, seconds), start, events=ends, rtol=1e-10, atol=1e-12)
    return found.t_events[0][0], found.y_events[0][0]


def fallen(height_m):
    def floor(_, y):
        return y[0]

    time_s, (_, velocity) = whole_curve([height_m, 0.0], floor)
    return time_s, -velocity


def risen(launch_speed):
    def top(_, y):
        return y[1]

    return whole_curve([0.0, launch_speed], top)[1][0]


@pytest.mark.parametrize(("height_m", "off"), [(0.5, 1e-4), (1.0, 1e-4), (2.54, 1.2e-3)])
def test_one_drag_coefficient_does_for_a_fall(height_m, off):
    time_s, speed = fallen(height_m)
    assert impact_speed_m_s(FAST, ROOM_K, height_m) == pytest.approx(speed, rel=off)
    assert fall_time_s(FAST, ROOM_K, height_m) == pytest.approx(time_s, rel=off)


@pytest.mark.parametrize("launch_speed", [1.2, 2.2, 3.0, 4.0])
def test_one_drag_coefficient_does_for_a_rise(launch_speed):
    height_m = rebound_height_m(FAST, ROOM_K, launch_speed)
    assert height_m == pytest.approx(risen(launch_speed), rel=3e-4)


@pytest.mark.parametrize(("height_m", "off"), [(1.0, 5e-4), (2.54, 2.5e-3)])
def test_one_drag_coefficient_does_for_a_whole_rebound(height_m, off):
    _, speed = fallen(height_m)
    for left in (0.4, 0.55, 0.7):
        ours = rebound_height_m(FAST, ROOM_K, left * impact_speed_m_s(FAST, ROOM_K, height_m))
        assert ours == pytest.approx(risen(left * speed), rel=off)


def test_against_fluids():
    # 0.4529329 s and 4.396657 m/s after 1 m, another drag law: any sane one is within 3e-3.
    assert AIR.density_kg_m3 == pytest.approx(1.2041, abs=5e-5)
    assert AIR.viscosity_pa_s == pytest.approx(1.8134e-5, abs=5e-10)
    speed, height_m = integrate_drag_sphere(
        D=0.040, rhop=FAST.density_kg_m3, rho=1.2041, mu=1.8134e-5, t=0.4529329, distance=True
    )
    assert height_m == pytest.approx(1.0, abs=1e-5)
    assert speed == pytest.approx(4.396657, rel=1e-5)
    assert impact_speed_m_s(FAST, ROOM_K, 1.0) == pytest.approx(speed, rel=5e-4)
    assert fall_time_s(FAST, ROOM_K, 1.0) == pytest.approx(0.4529329, rel=5e-4)


@pytest.mark.parametrize(("left", "height_m"), [(0.4, 0.157651), (0.5, 0.246062), (0.55, 0.297544)])
def test_rebounds_of_the_integrated_fall(left, height_m):
    found = rebound_height_m(FAST, ROOM_K, left * impact_speed_m_s(FAST, ROOM_K, 1.0))
    assert found == pytest.approx(height_m, rel=1e-3)


@pytest.mark.parametrize(
    ("coefficient", "speed", "time_s", "terminal"),
    [
        (0.40, 4.40167, 0.452473, 27.893),
        (0.45, 4.39821, 0.452592, 26.297),
        (0.47, 4.39684, 0.452639, 25.732),
    ],
)
def test_closed_form_of_the_fall(monkeypatch, coefficient, speed, time_s, terminal):
    drag = 0.5 * 1.2041 * coefficient * math.pi * 0.020**2
    by_hand = math.sqrt(0.024 * 9.81 / drag)
    assert by_hand == pytest.approx(terminal, abs=6e-4)
    monkeypatch.setattr(flight, "falling", lambda *_: Fall(9.81, by_hand))
    # Printed to six figures.
    assert impact_speed_m_s(FAST, ROOM_K, 1.0) == pytest.approx(speed, abs=6e-6)
    assert fall_time_s(FAST, ROOM_K, 1.0) == pytest.approx(time_s, abs=6e-7)


@pytest.mark.parametrize(("left", "height_m"), [(0.4, 0.157400), (0.5, 0.245629), (0.55, 0.296994)])
def test_closed_form_of_the_rise(monkeypatch, left, height_m):
    drag = 0.5 * 1.2041 * 0.45 * math.pi * 0.020**2
    monkeypatch.setattr(flight, "falling", lambda *_: Fall(9.81, math.sqrt(0.024 * 9.81 / drag)))
    found = rebound_height_m(FAST, ROOM_K, left * impact_speed_m_s(FAST, ROOM_K, 1.0))
    assert found == pytest.approx(height_m, abs=6e-7)


def test_drag_takes_1_4_to_2_1_per_cent_of_a_rebound_from_one_metre():
    left = np.linspace(0.4, 0.75, 10)
    risen_m = rebound_height_m(FAST, ROOM_K, left * impact_speed_m_s(FAST, ROOM_K, 1.0))
    share = 1.0 - risen_m / left**2
    assert share.min() > 0.014
    assert share.max() < 0.021
