import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from analysis.refusal import Refused
from analysis.statistics.energy import energies, energies_from_weight


def test_a_24_g_ball_from_1_m_worked_by_hand():
    # 0.024 x 9.81 x 1 = 0.23544 J and x 0.30 = 0.070632 J.
    found = energies(0.024, 1.0, [0.30, 0.0, 1.0, np.nan])
    assert found.before_j == pytest.approx(0.23544, rel=1e-12)
    assert found.after_j[:3] == pytest.approx([0.070632, 0.0, 0.23544], rel=1e-12)
    assert found.transferred_j[0] == pytest.approx(0.164808, rel=1e-12)
    assert found.fraction[0] == pytest.approx(0.30)
    assert found.restitution[:3] == pytest.approx([0.30**0.5, 0.0, 1.0])
    assert np.isnan(found.after_j[3])


@given(st.floats(0.01, 0.1), st.floats(0.1, 3.0), st.floats(0.0, 1.0))
def test_energy_is_conserved_and_the_restitution_squared_is_the_fraction(mass, drop, share):
    found = energies(mass, drop, share * drop)
    assert float(found.after_j + found.transferred_j) == pytest.approx(found.before_j)
    assert float(found.restitution) ** 2 == pytest.approx(float(found.fraction), abs=1e-12)


def test_weight_in_newtons_serves_as_well():
    from_mass = energies(0.024, 0.8, 0.2)
    from_weight = energies_from_weight(0.024 * 9.81, 0.8, 0.2)
    assert float(from_weight.after_j) == pytest.approx(float(from_mass.after_j))
    assert from_weight.mass_kg is None


@pytest.mark.parametrize(
    ("arguments", "part"),
    [
        ((0.0, 1.0, 0.3), "mass of the ball is 0 kg"),
        ((0.024, -1.0, 0.3), "drop height is -1 m"),
        ((0.024, 1.0, [0.3, 1.25]), "125 cm is impossible; it must lie between 0 cm and the drop"),
        ((0.024, 1.0, -0.02), "-2 cm is impossible"),
        ((np.nan, 1.0, 0.3), "mass of the ball is nan kg"),
    ],
)
def test_impossible_values_are_refused_in_a_sentence(arguments, part):
    with pytest.raises(Refused, match=part):
        energies(*arguments)


def test_a_weight_of_nothing_is_refused():
    with pytest.raises(Refused, match="weight of the ball is 0 N"):
        energies_from_weight(0.0, 1.0, 0.3)
