"""What a table of readings means: layouts, units, drop heights, means, pooling."""

from collections.abc import Callable
from pathlib import Path

import numpy as np
import pytest

from analysis.readings.readings import Readings, grid, read_readings

HEAD = "temperature / °C,rebound height 1 / cm,rebound height 2 / cm,rebound height 3 / cm"


Read = Callable[[str], Readings]


@pytest.fixture
def read(tmp_path: Path) -> Read:
    def from_text(text: str) -> Readings:
        path = tmp_path / "class.csv"
        path.write_text(text, encoding="utf-8")
        return read_readings(path)

    return from_text


def test_wide_and_tidy_give_the_same_frame(read: Read) -> None:
    wide = read(f"{HEAD}\n20,23,24,25\n40,33,,35\n")
    tidy = read(
        "temperature / °C,repeat,rebound height / cm\n20,1,23\n20,2,24\n20,3,25\n40,1,33\n40,3,35\n"
    )
    assert wide.frame.equals(tidy.frame)
    assert wide.frame["rebound_height_m"].tolist() == [0.23, 0.24, 0.25, 0.33, 0.35]
    assert list(wide.frame.columns) == ["temperature_k", "repeat", "rebound_height_m"]
    assert (wide.source, wide.decimal_places, wide.height_unit) == ("class.csv", 0, "cm")


@pytest.mark.parametrize(
    ("unit", "cell", "places"),
    [("cm", "23.50", 2), ("mm", "235", 1), ("m", "0.235", 1), ("m", "0.24", 0), ("in", "9.2", 1)],
)
def test_decimal_places_are_those_written_in_centimetres(
    read: Read, unit: str, cell: str, places: int
) -> None:
    readings = read(f"temperature / °C,repeat 1 / {unit}\n20,{cell}\n")
    assert readings.decimal_places == places
    assert readings.height_unit == unit


def test_a_temperature_that_stands_in_two_rows_is_said_to_be_pooled(read: Read) -> None:
    twice = read(f"{HEAD}\n20,23,24,25\n40,33,34,35\n20,22,21,\n")
    said = "20 °C stands in rows 2 and 4: their readings are pooled as one set."
    assert said in twice.notices
    assert grid(twice).heights_m[0, :6].tolist()[:5] == [0.23, 0.24, 0.25, 0.22, 0.21]
    once = read(f"{HEAD}\n20,23,24,25\n40,33,34,35\n")
    assert not any("pooled" in notice for notice in once.notices)


def test_one_reading_a_row_is_no_temperature_that_comes_twice(read: Read) -> None:
    head = "temperature / °C,rebound height / cm\n"
    repeats = read(head + "20,23\n20,24\n40,33\n40,34\n")
    assert not any("pooled" in notice for notice in repeats.notices)
    odd = read(head + "20,23\n30,28\n40,33\n30,27\n")
    assert "30 °C stands in rows 3 and 5: their readings are pooled as one set." in odd.notices
    tidy = read("temperature / °C,repeat,rebound height / cm\n20,1,23\n20,2,24\n40,1,33\n")
    assert not any("pooled" in notice for notice in tidy.notices)


def test_temperatures_in_kelvin_and_fahrenheit(read: Read) -> None:
    assert read("T / K,repeat 1 / cm\n293.15,9\n").frame["temperature_k"].tolist() == [293.15]
    assert read("T / °F,repeat 1 / cm\n68,9\n").frame["temperature_k"].tolist() == [293.15]


@pytest.mark.parametrize("unit", ["oC", "deg C", "⁰C", "degrees celcius"])
def test_degrees_and_goes_in_the_spellings_of_a_keyboard(read: Read, unit: str) -> None:
    head = f"temperature ({unit}),first try (cm),2nd try (cm),try 3 (cm)"
    wide = read(f"{head}\n20,23,24,25\n40 degrees,33,34,35\n")
    assert wide.frame.equals(read(f"{HEAD}\n20,23,24,25\n40,33,34,35\n").frame)


def test_all_optional_columns_of_the_tidy_layout(read: Read) -> None:
    frame = read(
        "student;temperature / °C;repeat;rebound height / cm;drop height / cm;reheated;"
        "elapsed time / min;true temperature / °C\n"
        "Ann;20;1;23;80;yes;0,5;19,5\nBo;20;1;24;80;FALSE;;\n"
    ).frame
    assert frame["student"].tolist() == ["Ann", "Bo"]
    assert frame["drop_height_m"].tolist() == [0.8, 0.8]
    assert frame["reheated"].tolist() == [True, False]
    assert frame["reheated"].dtype == bool
    np.testing.assert_array_equal(frame["elapsed_time_s"], [30.0, np.nan])
    np.testing.assert_array_equal(frame["true_temperature_k"], [292.65, np.nan])


def test_rows_of_one_temperature_carry_on_with_its_repeats(read: Read) -> None:
    frame = read(f"{HEAD}\n20,23,24,\n40,33,34,35\n20,25,26,27\n").frame
    assert frame["repeat"].tolist() == [1, 2, 4, 5, 6, 1, 2, 3]
    assert frame["rebound_height_m"].tolist()[:5] == [0.23, 0.24, 0.25, 0.26, 0.27]


def test_one_row_a_repeat_without_numbers_is_numbered_in_order(read: Read) -> None:
    frame = read("temperature / °C,rebound height / cm\n20,23\n20,24\n40,33\n20,25\n").frame
    assert frame["repeat"].tolist() == [1, 2, 3, 1]
    assert frame["rebound_height_m"].tolist() == [0.23, 0.24, 0.25, 0.33]


def test_students_and_procedures_number_their_own_repeats(read: Read) -> None:
    text = (
        "student,reheated,temperature / °C,repeat 1 / cm,repeat 2 / cm\n"
        "Ann,yes,20,23,24\nBo,yes,20,25,26\nAnn,no,20,21,22\n"
    )
    readings = read(text)
    assert readings.frame["repeat"].tolist() == [1, 2] * 3
    pooled = grid(readings)
    assert pooled.students == 3
    np.testing.assert_array_equal(pooled.heights_m, [[0.23, 0.24, 0.25, 0.26, 0.21, 0.22]])


def test_quantities_numbered_like_the_heights_belong_to_each_drop(read: Read) -> None:
    text = (
        "temperature / °C,repeat 1 / cm,repeat 2 / cm,elapsed time 1 / s,elapsed time 2 / s\n"
        "20,23,24,10,20\n40,,33,30,40\n"
    )
    assert read(text).frame["elapsed_time_s"].tolist() == [10.0, 20.0, 40.0]


def test_no_drop_height_means_one_metre_and_says_so(read: Read) -> None:
    readings = read(f"{HEAD}\n20,23,24,25\n")
    assert "No drop height is given; 1.000 m is taken." in readings.notices
    assert grid(readings).drop_height_m == 1.0
    assert "drop_height_m" not in readings.frame


def test_drop_height_of_the_column_or_above_the_table(read: Read) -> None:
    column = read("temperature / °C,repeat 1 / cm,drop height / m\n20,23,0.8\n30,25,\n")
    assert column.frame["drop_height_m"].tolist() == [0.8, 0.8]
    assert any("Blank drop heights (1)" in notice for notice in column.notices)
    above = read(f"drop height / cm,80\n{HEAD}\n20,23,24,25\n")
    assert grid(above).drop_height_m == 0.8
    assert not any("No drop height" in notice for notice in above.notices)


def test_drop_heights_set_by_hand_are_averaged(read: Read) -> None:
    text = "temperature / °C,repeat 1 / cm,drop height / cm\n20,23,99\n30,25,100\n"
    assert grid(read(text)).drop_height_m == pytest.approx(0.995)


def mean_notices(readings: Readings) -> list[str]:
    return [notice for notice in readings.notices if "mean" in notice]


@pytest.mark.parametrize(
    ("mean", "fits"),
    [("24", True), ("24.3", True), ("24.4", False), ("24.33", True), ("24.34", False), ("", True)],
)
def test_given_mean_is_held_to_half_a_unit_of_its_last_place(
    read: Read, mean: str, fits: bool
) -> None:
    readings = read(f"{HEAD},mean / cm\n20,23,24,26,{mean}\n")
    assert (mean_notices(readings) == []) == fits
    assert readings.frame["rebound_height_m"].tolist() == [0.23, 0.24, 0.26]


def test_wrong_mean_names_row_both_numbers_and_the_reading_left_out(read: Read) -> None:
    readings = read(f"{HEAD},mean / mm\n20,23,24,25,240\n40,33,34,45,335\n")
    assert mean_notices(readings) == [
        "Row 3 (40 °C): the mean given, 33.5 cm, is not the mean of the readings, 37.3333 cm; "
        "it fits if the reading 45 cm under 'rebound height 3 / cm' is left out."
    ]


def test_many_wrong_means_are_counted(read: Read) -> None:
    rows = "".join(f"{t},23,24,25,99\n" for t in range(10, 40))
    said = mean_notices(read(f"{HEAD},mean / cm\n{rows}"))
    assert len(said) == 21
    assert said[-1].startswith("10 more rows")


def test_mean_without_a_unit_or_that_is_no_number_is_no_reason_to_refuse(read: Read) -> None:
    assert len(read(f"{HEAD},mean\n20,23,24,25,99\n").frame) == 3
    assert len(read(f"{HEAD},mean / cm\n20,23,24,25,#DIV/0!\n").frame) == 3


def test_columns_that_are_none_of_ours_are_named(read: Read) -> None:
    readings = read(f"{HEAD},colour,true temperature 7 / °C\n20,23,24,25,red,19\n")
    assert any("'colour', 'true temperature 7 / °C'" in notice for notice in readings.notices)


def test_uneven_decimal_places_are_noted(read: Read) -> None:
    readings = read("temperature / °C,repeat 1 / cm\n20,23\n30,25.5\n")
    assert any("between 0 and 1 decimal places" in notice for notice in readings.notices)


def test_what_is_only_limited_is_read(read: Read) -> None:
    one = read("temperature / °C,repeat 1 / cm\n20,23\n")
    assert grid(one).heights_m.tolist() == [[0.23]]
    same = read(f"{HEAD}\n20,0,0,0\n100,100,100,100\n")
    assert grid(same).heights_m.tolist() == [[0.0] * 3, [1.0] * 3]


def test_grid_leaves_the_missing_where_they_belong(read: Read) -> None:
    made = grid(read(f"{HEAD}\n40,33,,35\n20,,24,\n"))
    np.testing.assert_allclose(made.temperatures_k - 273.15, [20, 40])
    np.testing.assert_array_equal(made.heights_m, [[np.nan, 0.24, np.nan], [0.33, np.nan, 0.35]])
