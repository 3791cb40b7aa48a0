import numpy as np
import pytest

from physics.transfer.lookup import read_off, tabled
from physics.transfer.still_water import film_flux_w_m2


@pytest.mark.parametrize(("celsius", "film_w_m2_k"), [(40, 650.0), (60, 850.0), (80, 1000.0)])
def test_still_water_about_a_ball_at_20_degrees(celsius, film_w_m2_k):
    # Churchill's sphere, worked independently: 650, 850 and 1000 W/(m² K).
    water_k = np.array([273.15 + celsius])
    flux = film_flux_w_m2(0.040, np.array([293.15]), water_k)[0]
    assert flux / (20.0 - celsius) == pytest.approx(film_w_m2_k, rel=0.06)


def test_the_film_thins_as_ball_and_water_come_together_and_vanishes_with_the_gap():
    gaps_k = np.array([20.0, 5.0, 1.0, 0.1])
    films = film_flux_w_m2(0.040, 333.15 + gaps_k, np.array([333.15])) / gaps_k
    assert (np.diff(films) < 0.0).all()
    assert film_flux_w_m2(0.040, np.array([333.15]), np.array([333.15]))[0] == 0.0


def test_a_table_says_what_it_was_made_from_and_goes_on_straight_beyond_its_ends():
    table = tabled(lambda x: x**2, -1.0, 3.0, 400)
    at = np.array([[-1.0, 0.0, 0.503], [2.0, 3.0, 1.7]])
    np.testing.assert_allclose(read_off(table, at), at**2, atol=3e-5)
    assert read_off(table, np.array([4.0]))[0] == pytest.approx(9.0 + 5.99)
    assert read_off(table, np.array([-2.0]))[0] == pytest.approx(1.0 + 1.99)
