"""Free convection of a sphere: S. W. Churchill, Heat Exchanger Design Handbook, 1983.

Worked value of the simple form: EES heat transfer library, sphere in free convection (Nellis
and Klein, section 6.2.3), http://fchart.com/ees/heat_transfer_library/free_convection/hs3035.htm
Independent code of the full form: `ht` 1.2 (ht.Nu_sphere_Churchill), and the list of values in
its test-suite.
"""

import ht
import numpy as np
import pytest

from physics.transfer.convection import free_nusselt

# ht's own list for Pr = 0.7, Gr = 1, 10, ... 1e7.
HT_LIST = [2.415066, 2.738104, 3.312555, 4.334093, 6.150727, 9.382168, 15.145453, 25.670869]


def test_worked_value():
    # Ra = 1.5e6, Pr = 2.0: 19.52, printed to two decimals.
    assert free_nusselt(1.5e6 / 2.0, 2.0) == pytest.approx(19.52, abs=0.005)


@pytest.mark.parametrize(("power", "expected"), list(enumerate(HT_LIST)))
def test_published_list_of_the_full_form(power, expected):
    # The turbulent term that is left out here adds 0.0004 % at Gr 1e3, 0.13 % at 1e6 and
    # about ten times as much at 1e7.
    allowed = {6: 1.4e-3, 7: 1.4e-2}.get(power, 2e-4)
    assert free_nusselt(10.0**power, 0.7) == pytest.approx(expected, rel=allowed)
    assert ht.Nu_sphere_Churchill(0.7, 10.0**power) == pytest.approx(expected, abs=1e-6)


@pytest.mark.parametrize(
    ("prandtl", "allowed"),
    # Air, then water at 40 °C and 20 °C: there the turbulent term comes to 0.8 % at most.
    [(0.7, 5e-4), (0.71, 5e-4), (4.3, 1e-2), (7.0, 1e-2)],
)
def test_against_ht_over_the_ball_s_range(prandtl, allowed):
    grashof = np.geomspace(1e2, 3e5, 20)
    expected = [ht.Nu_sphere_Churchill(prandtl, value) for value in grashof]
    np.testing.assert_allclose(free_nusselt(grashof, prandtl), expected, rtol=allowed)
