"""Forced convection of a sphere: S. Whitaker, AIChE Journal 18 (1972) 361.

Worked examples: I. Tosun, Modelling in Transport Phenomena, p. 201; Y. Çengel, Heat Transfer,
chapter 7 (read in a copy of the solution). Nusselt numbers printed to one decimal.
"""

import numpy as np
import pytest

from physics.transfer.convection import forced_nusselt


@pytest.mark.parametrize(
    ("stream", "nusselt", "k_over_d", "h"),
    [
        # Tosun: Re, Pr, μ/μ_s; a 15 mm sphere, h = 71 W/(m² K).
        ((4826.0, 0.712, 18.41 / 19.11), 40.9, 0.02596 / 0.015, 71.0),
        # Çengel: a 15 cm sphere, h = 25.12 W/(m² K).
        ((5.597e4, 0.7282, 1.872 / 2.934), 145.6, 0.02588 / 0.15, 25.12),
    ],
    ids=["Tosun", "Çengel"],
)
def test_worked_example(stream, nusselt, k_over_d, h):
    found = forced_nusselt(*stream)
    assert found == pytest.approx(nusselt, abs=0.1)
    assert found * k_over_d == pytest.approx(h, rel=0.005)


def test_values_for_a_squash_ball_in_air():
    # Worked independently for D = 40 mm, air of 20 °C, ball at 45 °C: 1, 2, 3 and 4.4 m/s.
    reynolds = np.array([2647.0, 5293.0, 7940.0, 11_645.0])
    found = forced_nusselt(reynolds, 0.708, 1.8206 / 1.9401)
    np.testing.assert_allclose(found, [29.5, 42.6, 53.0, 65.4], atol=0.15)


def test_close_to_ranz_and_marshall():
    # Nu = 2 + 0.6 Re^½ Pr^⅓ (Chemical Engineering Progress 48, 1952, 141): within 12 %,
    # the two correlations' own difference.
    reynolds = np.geomspace(50.0, 1.2e4, 20)
    ranz_marshall = 2.0 + 0.6 * np.sqrt(reynolds) * 0.71 ** (1.0 / 3.0)
    np.testing.assert_allclose(forced_nusselt(reynolds, 0.71), ranz_marshall, rtol=0.12)
