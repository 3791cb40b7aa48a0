"""Headings and units: many spellings, one meaning; and back from SI to the same digits."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from analysis.quantity.headings import heading_text, read_heading
from analysis.quantity.units import UNITS, from_si, places_in_cm, places_in_unit, to_si, unit_named


@pytest.mark.parametrize(
    ("text", "quantity", "number", "unit"),
    [
        ("temperature / °C", "temperature", None, "°C"),
        ("Temperature (deg C)", "temperature", None, "°C"),
        ("  WATER\u00a0TEMPERATURE /C ", "temperature", None, "°C"),
        ("temp. / K", "temperature", None, "K"),  # as teachers shorten it; not read before
        ("warmth / K", "", None, "K"),
        ("T / ℃", "temperature", None, "°C"),
        ("t / s", "elapsed time", None, "s"),
        ("temperature in degrees Celsius", "temperature", None, "°C"),
        ("temperature [ºF]", "temperature", None, "°F"),
        ("rebound height 1 / cm", "rebound height", 1, "cm"),
        ("Rebound height (centimetres)", "rebound height", None, "cm"),
        ("repeat 12 / mm", "rebound height", 12, "mm"),
        ("repeat no. 3 (cm)", "rebound height", 3, "cm"),
        ("drop 2 / in", "rebound height", 2, "in"),
        ("h₂ / m", "rebound height", 2, "m"),
        ("４ / cm", "rebound height", 4, "cm"),
        ("bounce height #2 / cm.", "rebound height", 2, "cm"),
        ("drop height / m", "drop height", None, "m"),
        ("drop", "repeat", None, None),
        ("Mean rebound height / cm", "mean", None, "cm"),
        ("elapsed time 2 / min", "elapsed time", 2, "min"),
        ("student", "student", None, None),
        ("temperature / bananas", "temperature", None, None),
        ("Effect of temperature on rebound height", "", None, None),
        ("", "", None, None),
    ],
)
def test_heading_gives_quantity_number_and_unit(
    text: str, quantity: str, number: int | None, unit: str | None
) -> None:
    heading = read_heading(text)
    assert (heading.quantity, heading.number, heading.unit) == (quantity, number, unit)


def test_our_own_headings_are_read_back() -> None:
    heading = read_heading(heading_text("rebound height", "cm", 7))
    assert heading.text == "rebound height 7 / cm"
    assert (heading.quantity, heading.number, heading.unit) == ("rebound height", 7, "cm")


@given(st.text(max_size=30))
def test_any_text_is_some_heading(text: str) -> None:
    assert read_heading(text).unit in {None, *UNITS}


def test_units_reach_si_by_their_definitions() -> None:
    one = np.array([1.0, 100.0])
    assert to_si(one, "in").tolist() == [0.0254, 2.54]
    assert to_si(np.array([23.5, 13.7]), "cm").tolist() == [0.235, 0.137]
    assert to_si(np.array([32.0, 212.0]), "°F").tolist() == [273.15, 373.15]
    assert to_si(one, "min").tolist() == [60.0, 6000.0]
    assert to_si(one, "K").tolist() == [1.0, 100.0]
    assert unit_named("furlong") is None


@given(st.integers(0, 400_000), st.integers(0, 4), st.sampled_from(["mm", "cm", "m", "in"]))
def test_lengths_come_back_with_the_digits_they_were_written_with(
    count: int, decimals: int, unit: str
) -> None:
    written = count / 10**decimals
    assert from_si(to_si(np.array([written]), unit), unit).tolist() == [written]


def test_a_height_a_last_bit_off_is_written_as_it_was_meant() -> None:
    assert from_si(np.array([0.1 + 0.037, 13.7 / 100, 3 * 0.1]), "cm").tolist() == [13.7, 13.7, 30]


@given(st.floats(273.15, 373.15))
def test_any_temperature_in_celsius_gives_back_every_bit_with_sixteen_digits(kelvin: float) -> None:
    celsius = from_si(np.array([kelvin]), "°C")
    assert to_si(celsius, "°C")[0] == kelvin
    assert float(f"{celsius[0]:.16g}") == celsius[0]


def test_decimal_places_follow_the_unit() -> None:
    assert [places_in_cm(2, unit) for unit in ("mm", "cm", "m", "in")] == [3, 2, 0, 2]
    assert [places_in_unit(1, unit) for unit in ("mm", "cm", "m", "in")] == [0, 1, 3, 1]
