"""Ball files: what is written comes back, and nothing else gets in."""

import json
from dataclasses import replace
from pathlib import Path

import pytest

from analysis.refusal import Refused
from physics.ball import FAST
from sim.calibration.ball_file import (
    FORMAT,
    MOST_MEGABYTES,
    VERSION,
    BallFile,
    Estimate,
    ball_in,
    content_of,
    read_ball_file,
)
from sim.record.format import ball_fields

BALL = replace(FAST, name="our own", loss_ratio_40=0.1873, cooling_factor=1.07, mass_kg=0.0238)
FILE = BallFile(
    format=FORMAT,
    version=VERSION,
    ball=ball_fields(BALL),
    reader_spread_m=0.0071,
    fitted={"loss_ratio_40": Estimate(0.1873, 0.0021, 0.183, 0.1917)},
    parameters=("a", "b"),
    correlation=((1.0, -0.4), (-0.4, 1.0)),
    refused={"cooling_factor": "the ball was put back"},
    source="Übung „9b“.csv",
    note="A note.",
)


def written(folder: Path, **changes) -> Path:
    path = folder / "own.ball.json"
    document = json.loads(content_of(FILE))
    document.update(changes)
    path.write_text(json.dumps(document), encoding="utf-8")
    return path


def of_ball(**changes):
    return {"ball": {**ball_fields(BALL), **changes}}


def test_a_ball_file_comes_back_as_it_was(tmp_path):
    path = tmp_path / "own.ball.json"
    path.write_bytes(content_of(FILE))
    assert read_ball_file(path) == FILE
    assert ball_in(FILE, path) == BALL


def test_whole_numbers_are_numbers_too(tmp_path):
    path = written(tmp_path, **of_ball(cooling_factor=1, rubber_density_kg_m3=1200))
    assert ball_in(read_ball_file(path), path).cooling_factor == 1.0


def test_a_file_from_when_balls_had_a_speed_exponent_opens(tmp_path):
    path = written(tmp_path, **of_ball(speed_exponent=0.03))
    assert ball_in(read_ball_file(path), path) == BALL


@pytest.mark.parametrize(
    ("changes", "words"),
    [
        ({"version": 2}, "version 2"),
        ({"format": "something"}, "not a ball file"),
        ({"surprise": 1}, "damaged"),
        ({"source": 5}, "damaged"),
        ({"ball": {"name": "our own"}}, "lacks a field"),
        (of_ball(colour=1.0), "colour"),
        (of_ball(speed_exponent="weak"), "speed_exponent"),
        (of_ball(mass_kg="heavy"), "mass_kg"),
        (of_ball(name=7.0), "name"),
        (of_ball(name="two\nlines"), "do not print"),
        (of_ball(name="x" * 61), "more than 60"),
        (of_ball(name=""), "none"),
        (of_ball(mass_kg=5.0), "ball mass 5 kg"),
        (of_ball(loss_ratio_40=0.02), "0.02"),
        (of_ball(loss_ratio_40=-0.2), "loss ratio at 40 °C -0.2"),
        (of_ball(cooling_factor=1e9), "cooling factor"),
        ({"reader_spread_m": -0.01}, "spread of -0.01 m"),
        ({"correlation": [[1.0, 3.0], [3.0, 1.0]]}, "correlations"),
        ({"correlation": [[1.0]]}, "correlations"),
        (
            {
                "fitted": {
                    "loss_ratio_40": {
                        **json.loads(content_of(FILE))["fitted"]["loss_ratio_40"],
                        "low_95": 0.19,
                    }
                }
            },
            "interval that does not hold it",
        ),
    ],
)
def test_what_is_no_ball_file_is_refused_in_one_sentence(tmp_path, changes, words):
    with pytest.raises(Refused) as refusal:
        read_ball_file(written(tmp_path, **changes))
    said = str(refusal.value)
    assert words in said
    assert "own.ball.json" in said
    assert "\n" not in said


@pytest.mark.parametrize(
    "content",
    [
        b"",
        b"\xff\xfe\x00",
        b"not json",
        b"[" * 60_000,
        b"{}",
        b"null",
        b'{"format": "rebound ball", "version": NaN}',
        content_of(FILE)[:-40],
    ],
    ids=["empty", "binary", "text", "deep", "bare", "null", "NaN", "torn"],
)
def test_what_is_no_json_is_refused_in_one_sentence(tmp_path, content):
    path = tmp_path / "own.ball.json"
    path.write_bytes(content)
    with pytest.raises(Refused, match=r"not a ball file|damaged"):
        read_ball_file(path)


def test_no_file_a_folder_and_a_huge_file_are_refused(tmp_path):
    with pytest.raises(Refused, match="There is no file"):
        read_ball_file(tmp_path / "missing.ball.json")
    with pytest.raises(Refused, match="cannot be opened"):
        read_ball_file(tmp_path)
    huge = tmp_path / "huge.ball.json"
    huge.write_bytes(content_of(FILE) + b" " * MOST_MEGABYTES * 1_000_000)
    with pytest.raises(Refused, match="larger than"):
        read_ball_file(huge)
