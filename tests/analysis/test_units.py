"""Every unit of the table, through every door by which a quantity with a unit comes in.

A unit that is added to the table is tried here from its first day. The expected values are worked
out from each unit's definition in the table, which test_headings holds against the SI Brochure.
"""

import numpy as np
import pytest

from analysis.marking.filled import read_work
from analysis.marking.mark import mark
from analysis.marking.work import RoughLine, Verdict, Work
from analysis.quantity.units import UNITS, Kind, from_si, restated, to_si, units_of
from analysis.readings.readings import read_readings

HEIGHTS_CM = {20.0: (24.0, 25.0), 30.0: (30.0, 31.0), 40.0: (36.0, 37.0), 50.0: (43.0, 44.0)}
LENGTHS, TEMPERATURES = units_of("length"), units_of("temperature")


def in_unit(value: float, school: str, unit: str) -> str:
    return f"{restated(value, school, unit):.8f}"


def table(length: str, temperature: str = "°C", *, slip_cm: float = 0.0) -> str:
    """A results table with means, the last of them wrong by the slip."""
    lines = [
        f"temperature / {temperature},rebound height 1 / {length},rebound height 2 / {length},"
        f"mean / {length}"
    ]
    for at_c, heights in HEIGHTS_CM.items():
        mean = sum(heights) / 2 + (slip_cm if at_c == 50.0 else 0.0)
        cells = [in_unit(at_c, "°C", temperature)]
        cells += [in_unit(each, "cm", length) for each in (*heights, mean)]
        lines.append(",".join(cells))
    return "\n".join(lines) + "\n"


@pytest.fixture
def file(tmp_path):
    def write(text):
        path = tmp_path / "file.csv"
        path.write_text(text, encoding="utf-8")
        return path

    return write


@pytest.mark.parametrize("unit", UNITS)
def test_si_and_back(unit):
    values = np.array([0.0, 1.0, 37.5, 99.0])
    assert from_si(to_si(values, unit), unit).tolist() == pytest.approx(values.tolist())


@pytest.mark.parametrize("kind", sorted({unit.kind for unit in UNITS.values()}))
def test_one_unit_of_each_kind_is_its_si_unit(kind: Kind):
    assert kind == "percentage" or any(to_si(1.0, unit) == 1.0 for unit in units_of(kind))


@pytest.mark.parametrize("unit", LENGTHS)
def test_heights_and_means_of_a_readings_file(file, unit):
    readings = read_readings(file(table(unit)))
    heights_m = sorted(readings.frame["rebound_height_m"])
    assert heights_m == pytest.approx([h / 100 for pair in HEIGHTS_CM.values() for h in pair])
    assert not any("mean" in said for said in readings.notices)


@pytest.mark.parametrize("unit", LENGTHS)
def test_a_wrong_mean_is_found(file, unit):
    said = read_readings(file(table(unit, slip_cm=2.0))).notices
    assert sum("45.5 cm, is not the mean of the readings, 43.5 cm" in each for each in said) == 1


@pytest.mark.parametrize("unit", TEMPERATURES)
def test_temperatures_of_a_readings_file(file, unit):
    frame = read_readings(file(table("cm", unit))).frame
    assert frame["temperature_k"].unique() == pytest.approx([293.15, 303.15, 313.15, 323.15])


@pytest.mark.parametrize("unit", LENGTHS)
def test_a_drop_height_above_the_table_and_in_it(file, unit):
    text = f"drop height / {unit},{in_unit(91.44, 'cm', unit)}\n\n{table('cm')}"
    assert read_readings(file(text)).frame["drop_height_m"].unique() == pytest.approx([0.9144])
    assert read_work(file(text)).drop_height_cm == pytest.approx(91.44)
    tidy = f"temperature / °C,rebound height / cm,drop height / {unit}\n20,25,"
    tidy += in_unit(91.44, "cm", unit)
    assert read_readings(file(tidy)).frame["drop_height_m"].tolist() == pytest.approx([0.9144])


@pytest.mark.parametrize("unit", units_of("mass"))
def test_a_mass_beside_a_filled_in_table(file, unit):
    text = f"mass of the ball / {unit},{in_unit(23.5, 'g', unit)}\n\n{table('cm')}"
    assert read_work(file(text)).mass_g == pytest.approx(23.5)


@pytest.mark.parametrize("unit", units_of("time"))
def test_elapsed_times_of_a_readings_file(file, unit):
    text = f"temperature / °C,rebound height / cm,elapsed time / {unit}\n20,25,"
    frame = read_readings(file(text + in_unit(90.0, "s", unit))).frame
    assert frame["elapsed_time_s"].tolist() == pytest.approx([90.0])


@pytest.mark.parametrize("unit", LENGTHS)
def test_a_filled_in_table_is_marked_in_its_own_unit(file, unit):
    right, wrong = (
        {one.criterion: one.earned for one in mark(read_work(file(table(unit, slip_cm=s)))).remarks}
        for s in (0.0, 2.0)
    )
    assert right["table.mean"]
    assert not wrong["table.mean"]


def said_of(text: str) -> Verdict:
    """The verdict on a number as the reason why the repeats agree; their half-range is 0.5 cm."""
    rough = tuple(
        RoughLine(at_c, height_cm) for at_c, pair in HEIGHTS_CM.items() for height_cm in pair
    )
    answers = {
        ("Evaluation", "repeatable"): "Yes",
        ("Evaluation", "repeatable reason"): f"The half-ranges are only {text}",
    }
    remarks = mark(Work(answers=answers, rough=rough)).remarks
    return next(one.verdict for one in remarks if one.where == "repeatable reason")


@pytest.mark.parametrize("unit", LENGTHS)
def test_a_length_in_a_written_reason(unit):
    number = f"{restated(0.5, 'cm', unit):.4f}"
    for spelling in UNITS[unit].spellings:
        assert said_of(f"{number} {spelling}.") is Verdict.RIGHT, spelling
    # The same number in another unit is another length.
    assert said_of("0.5 cm.") is Verdict.RIGHT
    assert unit == "cm" or said_of(f"0.5 {unit}.") is not Verdict.RIGHT


def test_in_is_a_unit_at_the_end_of_a_phrase_only():
    assert said_of("0.5 in") is not Verdict.RIGHT
    assert said_of("0.5 in at most, at every temperature.") is not Verdict.RIGHT
    assert said_of("0.5 in every set.") is Verdict.RIGHT
