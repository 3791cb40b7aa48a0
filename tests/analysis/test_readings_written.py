"""What is written is read back: every bit, every format, both layouts; and no formula gets out."""

import csv
import re
import zipfile
from pathlib import Path

import numpy as np
import pandas as pd
import pytest
import python_calamine
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from pandas.testing import assert_frame_equal

from analysis.quantity.written import guarded, name
from analysis.readings.readings import Readings, read_readings
from tests.analysis.readings_out import write_readings

FORMATS = ("csv", "xlsx", "ods")
LAYOUTS = ("wide", "tidy")

names = st.text(st.characters(exclude_categories=["Cs"]), max_size=8).map(name)
guarded_names = st.sampled_from(
    ["=1+1", "+a", "-b", "@c", "'=d", "''+e", "'f", "Ann", "007", "1e5"]
)


@st.composite
def tables(draw: st.DrawFn) -> Readings:
    """Readings on the grid of their decimal places; all other quantities are any numbers."""
    places = draw(st.integers(0, 3))
    keys = st.tuples(
        st.integers(0, 1000), st.integers(1, 6), st.one_of(names, guarded_names), st.booleans()
    )
    unique = draw(st.lists(keys, min_size=1, max_size=12, unique=True))
    heights = st.lists(st.integers(0, 90 * 10**places), min_size=len(unique), max_size=len(unique))
    frame = pd.DataFrame(
        {
            "temperature_k": [key[0] / 10 + 273.15 for key in unique],
            "repeat": [key[1] for key in unique],
            "rebound_height_m": [height / 10**places / 100 for height in draw(heights)],
        }
    )
    one_of_each = frame.groupby(["temperature_k", "repeat"]).cumcount()
    several = draw(st.sampled_from(["student", "reheated", "both"]))
    if several != "reheated":
        frame["student"] = pd.Series([key[2] for key in unique], dtype="str")
    if several != "student":
        frame["reheated"] = pd.Series([key[3] for key in unique], dtype="bool")
    if draw(st.booleans()):
        frame["drop_height_m"] = draw(st.sampled_from([1.0, 0.955, 1.5]))
    if draw(st.booleans()):
        frame["elapsed_time_s"] = [draw(st.floats(0, 1e5)) for _ in unique]
    if draw(st.booleans()):
        true = st.one_of(st.floats(273.15, 373.15), st.just(np.nan))
        frame["true_temperature_k"] = [draw(true) for _ in unique]
    wanted = [c for c in ("student", "reheated", "temperature_k", "repeat") if c in frame]
    frame = frame.loc[~frame.duplicated(wanted) & (one_of_each < 4)].reset_index(drop=True)
    return Readings(frame, "drawn", places)


def there_and_back(readings: Readings, path: Path, layout: str) -> Readings:
    write_readings(readings, path, layout=layout, force=True)  # type: ignore[arg-type]
    return read_readings(path)


@settings(
    max_examples=settings.default.max_examples // 5,  # each is written and read seven times
    suppress_health_check=[HealthCheck.function_scoped_fixture],
)
@given(drawn=tables())
def test_every_format_and_layout_gives_the_same_frame_back(tmp_path: Path, drawn: Readings) -> None:
    first = there_and_back(drawn, tmp_path / "first.csv", "tidy")
    assert len(first.frame) == len(drawn.frame)
    assert first.decimal_places == drawn.decimal_places
    np.testing.assert_allclose(
        sorted(first.frame["rebound_height_m"]), sorted(drawn.frame["rebound_height_m"]), rtol=1e-15
    )
    for suffix in FORMATS:
        for layout in LAYOUTS:
            again = there_and_back(first, tmp_path / f"again.{suffix}", layout)
            assert_frame_equal(again.frame, first.frame, check_exact=True)
            assert again.decimal_places == first.decimal_places
            assert again.height_unit == first.height_unit


@pytest.mark.parametrize("suffix", FORMATS)
@pytest.mark.parametrize("layout", LAYOUTS)
@pytest.mark.parametrize(
    "table",
    [
        "temperature / °F,repeat 1 / in,drop height / in\n69,9.25,36\n71,9.5,36\n",
        "temperature / K,repeat 1 / mm\n300,235\n301,240\n",
        "temperature / °C,repeat 1 / m,repeat 2 / m\n20,0.20,0.3\n21.25,0.2,\n",
    ],
    ids=["inches", "millimetres", "metres"],
)
def test_unit_and_places_as_found_are_kept(
    tmp_path: Path, table: str, layout: str, suffix: str
) -> None:
    path = tmp_path / "found.csv"
    path.write_text(table, encoding="utf-8")
    first = read_readings(path)
    again = there_and_back(first, tmp_path / f"again.{suffix}", layout)
    assert_frame_equal(again.frame, first.frame, check_exact=True)
    assert (again.decimal_places, again.height_unit) == (first.decimal_places, first.height_unit)


def frame(**columns: object) -> pd.DataFrame:
    whole = {"temperature_k": [293.15, 293.15], "repeat": [1, 2], "rebound_height_m": [0.23, 0.245]}
    return pd.DataFrame({**whole, **columns})


def test_csv_as_a_spreadsheet_gets_it(tmp_path: Path) -> None:
    path = tmp_path / "readings.csv"
    write_readings(frame(drop_height_m=1.0), path)
    assert path.read_bytes() == (
        b"\xef\xbb\xbftemperature / \xc2\xb0C,rebound height 1 / cm,rebound height 2 / cm,"
        b"drop height / cm\r\n20,23.0,24.5,100\r\n"
    )


@pytest.mark.parametrize("text", ["=1+1", "+1", "-1", "@a", "\ta", "\ra", "'=1", "＝1"])
def test_text_that_could_be_a_formula_is_guarded(text: str) -> None:
    assert guarded(text) == "'" + text


@pytest.mark.parametrize("text", ["Ann", "'tis", "", "1-1"])
def test_other_text_is_left_as_it_is(text: str) -> None:
    assert guarded(text) == text


def test_formula_in_a_name_goes_out_as_text_and_comes_back_as_it_was(tmp_path: Path) -> None:
    path = tmp_path / "readings.csv"
    write_readings(frame(student='=HYPERLINK("x")'), path, layout="tidy")
    with path.open(encoding="utf-8-sig", newline="") as file:
        rows = list(csv.reader(file))
    assert rows[1][0] == '\'=HYPERLINK("x")'
    assert set(read_readings(path).frame["student"]) == {'=HYPERLINK("x")'}


def test_an_ods_shows_the_places_that_were_read(tmp_path: Path) -> None:
    path = tmp_path / "readings.ods"
    write_readings(frame(drop_height_m=1.0), path)
    assert python_calamine.load_workbook(path).get_sheet_by_index(0).to_python()[1][1:3] == [
        23.0,
        24.5,
    ]
    with zipfile.ZipFile(path) as book:
        content = book.read("content.xml").decode()
    (style,) = re.findall(r'office:value="23.0" table:style-name="(\w+)"', content)
    (shown,) = re.findall(rf'style:name="{style}" [^>]*style:data-style-name="(\w+)"', content)
    assert (
        f'<number:number-style style:name="{shown}"><number:number number:decimal-places="1"'
        in (content)
    )


@pytest.mark.parametrize("suffix", FORMATS)
def test_the_same_readings_give_the_same_file(tmp_path: Path, suffix: str) -> None:
    paths = [tmp_path / f"{which}.{suffix}" for which in ("one", "two")]
    for path in paths:
        write_readings(frame(), path)
    if suffix == "ods":  # the library stamps the time of writing into the archive
        assert read_readings(paths[0]).frame.equals(read_readings(paths[1]).frame)
    else:
        assert paths[0].read_bytes() == paths[1].read_bytes()


def test_a_failure_while_writing_leaves_the_old_file_and_nothing_else(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = tmp_path / "readings.csv"
    path.write_text("the old one")

    def full(_: int) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr("os.fsync", full)
    with pytest.raises(ValueError, match="the disk is full"):
        write_readings(frame(), path, force=True)
    assert path.read_text() == "the old one"
    assert [one.name for one in tmp_path.iterdir()] == ["readings.csv"]


@pytest.mark.parametrize("count", [10_000, pytest.param(100_000, marks=pytest.mark.slow)])
def test_very_many_rows_come_back(tmp_path: Path, count: int) -> None:
    many = pd.DataFrame(
        {
            "temperature_k": np.repeat([293.15, 303.15, 313.15, 323.15, 333.15], count // 5),
            "repeat": np.tile(np.arange(1, count // 5 + 1), 5),
            "rebound_height_m": np.round(np.linspace(0.1, 0.6, count), 3),
        }
    )
    again = there_and_back(Readings(many, "many", 1), tmp_path / "many.csv", "tidy")
    assert_frame_equal(again.frame, many, check_exact=True)
