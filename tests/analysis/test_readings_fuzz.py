"""Whatever the bytes: they are read, or refused in one sentence. Nothing else is ever raised."""

import io
import zipfile
from pathlib import Path

import numpy as np
import pandas as pd
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from analysis.readings.readings import Readings, grid, read_readings
from analysis.refusal import Refused
from tests.analysis.readings_out import write_readings

bounded = settings(suppress_health_check=[HealthCheck.function_scoped_fixture])
suffixes = st.sampled_from(["csv", "xlsx", "ods"])

PIECES = [
    *("temperature / °C", "temperature", "rebound height / cm", "repeat 1 / cm", "repeat 2 / mm"),
    *("repeat", "mean / cm", "drop height / cm", "reheated", "student", "elapsed time / s"),
    *("resolution / cm", "true temperature / °C", "20", "40", "23,5", "23.5", "1", "2", "-1", "0"),
    *("yes", "no", "abc", "=1+1", "nan", "1e999", "", "", '"', "'", ",", ";", "\t", "\n", "\n"),
    *("\0", "\r", "\ufeff", "٣", "²", "½", "1e-400", "0x10", "99999999999999999999", "/", "(", ")"),
]


def read_or_refused(path: Path) -> bool:
    try:
        readings = read_readings(path)
    except Refused as refused:
        sentence = str(refused)
    else:
        return _is_sound(readings)
    assert "\n" not in sentence
    assert sentence.endswith(".")
    return False


def _is_sound(readings: Readings) -> bool:
    assert len(readings.frame) > 0
    assert np.isfinite(readings.frame["rebound_height_m"]).all()
    try:
        assert np.isfinite(grid(readings).heights_m).any()
    except Refused:
        return False
    return True


@bounded
@given(content=st.binary(max_size=400), suffix=suffixes)
def test_random_bytes(tmp_path: Path, content: bytes, suffix: str) -> None:
    path = tmp_path / f"random.{suffix}"
    path.write_bytes(content)
    assert not read_or_refused(path)


@bounded
@given(pieces=st.lists(st.sampled_from(PIECES), max_size=60), separator=st.sampled_from(",;\t"))
def test_random_tables(tmp_path: Path, pieces: list[str], separator: str) -> None:
    path = tmp_path / "table.csv"
    head = f"temperature / °C{separator}repeat 1 / cm\n20{separator}30\n"
    path.write_text(head + separator.join(pieces), encoding="utf-8")
    read_or_refused(path)
    path.write_text(separator.join(pieces), encoding="utf-8")
    read_or_refused(path)


@pytest.fixture(scope="module")
def good(tmp_path_factory: pytest.TempPathFactory) -> dict[str, bytes]:
    folder = tmp_path_factory.mktemp("good")
    frame = pd.DataFrame(
        {
            "temperature_k": np.repeat([293.15, 313.15, 333.15], 3),
            "repeat": [1, 2, 3] * 3,
            "rebound_height_m": np.linspace(0.2, 0.5, 9).round(3),
            "reheated": True,
            "student": "Ann",
        }
    )
    for suffix in ("csv", "xlsx", "ods"):
        write_readings(frame, folder / f"good.{suffix}")
    return {one.suffix[1:]: one.read_bytes() for one in folder.iterdir()}


@bounded
@given(
    suffix=suffixes,
    changes=st.lists(
        st.tuples(st.floats(0, 1, exclude_max=True), st.binary(max_size=3)), max_size=4
    ),
    keep=st.floats(0.2, 1),
)
def test_good_files_with_bytes_changed_or_the_end_torn_off(
    tmp_path: Path,
    good: dict[str, bytes],
    suffix: str,
    changes: list[tuple[float, bytes]],
    keep: float,
) -> None:
    content = bytearray(good[suffix])
    for where, new in changes:
        at = int(where * len(content))
        content[at : at + len(new)] = new
    path = tmp_path / f"changed.{suffix}"
    path.write_bytes(content[: int(keep * len(content))] if keep < 0.9 else content)
    read_or_refused(path)


@bounded
@given(
    suffix=st.sampled_from(["xlsx", "ods"]),
    part=st.integers(0, 20),
    cut=st.tuples(st.floats(0, 1), st.floats(0, 1)),
    new=st.sampled_from([b"", b"<", b">", b'"', b"999999999", b"-1", b"\xff", b"</row>", b"&a;"]),
)
def test_good_workbooks_with_one_part_changed_inside(
    tmp_path: Path,
    good: dict[str, bytes],
    suffix: str,
    part: int,
    cut: tuple[float, float],
    new: bytes,
) -> None:
    content = io.BytesIO()
    with zipfile.ZipFile(io.BytesIO(good[suffix])) as old, zipfile.ZipFile(content, "w") as out:
        names = old.namelist()
        for name in names:
            xml = old.read(name)
            if name == names[part % len(names)]:
                start = int(cut[0] * len(xml))
                xml = xml[:start] + new + xml[start + int(cut[1] * 30) :]
            out.writestr(name, xml)
    path = tmp_path / f"inside.{suffix}"
    path.write_bytes(content.getvalue())
    read_or_refused(path)


def test_the_good_files_are_good(tmp_path: Path, good: dict[str, bytes]) -> None:
    for suffix, content in good.items():
        path = tmp_path / f"good.{suffix}"
        path.write_bytes(content)
        assert read_or_refused(path)
