"""What `contrast` makes on request: the moving picture, the sources, the chances."""

from contextlib import redirect_stdout
from dataclasses import replace
from io import StringIO

import numpy as np
import pandas as pd
import pytest
from matplotlib.animation import FFMpegWriter
from PIL import Image

import sim.bench.screen.demonstration.film as film_module
from sim.__main__ import main
from sim.actions import NotPossible
from sim.bench.screen.demonstration.film import film
from sim.bench.screen.demonstration.plan import ShowPlan
from sim.procedure import SHOWN_PROCEDURE, Procedure
from sim.state import Setup
from sim.teaching.demonstration import demonstration, plain_sentence

SMALL = ["--temperatures-c", "20,60", "--repeats", "2"]
SMALL_PLAN = Procedure(temperatures_k=(293.15, 333.15), repeats=2)


def contrast(folder, *arguments):
    return main(["contrast", "--out", str(folder), *SMALL, *arguments])


@pytest.fixture(scope="module")
def animated(tmp_path_factory):
    """Of an animation of four drops: its size, each frame with its seconds, and what is said."""
    folder = tmp_path_factory.mktemp("animated")
    with redirect_stdout(StringIO()) as said:
        assert contrast(folder, "--animation", "gif", "--seed", "1") == 0
    with Image.open(folder / "demonstration.gif") as picture:
        frames = []
        for number in range(picture.n_frames):
            picture.seek(number)
            frames.append((picture.info["duration"] / 1000.0, picture.convert("L")))
        return picture.size, frames, said.getvalue()


def test_without_a_wish_it_writes_readings_table_and_figure_alone(tmp_path):
    assert contrast(tmp_path) == 0
    names = sorted(path.name for path in tmp_path.iterdir())
    assert names == ["contrast.csv", "contrast.png", "left-to-cool.csv", "put-back.csv"]


def test_the_animation_shows_two_drops_a_second_and_question_and_end_for_six_seconds(animated):
    size, frames, said = animated
    assert size == (1040, 608)
    assert "Left to cool, the ball's temperature changed" in said
    # Before the first drop, and after each of the four of both sides; two are held.
    lasts_s = [lasts for lasts, _ in frames]
    held = pytest.approx(6.5)
    assert lasts_s == [0.5, 0.5, 0.5, 0.5, held, 0.5, 0.5, 0.5, held]


def test_mp4_without_ffmpeg_is_one_sentence_and_leaves_nothing(tmp_path, capsys, monkeypatch):
    monkeypatch.setattr(FFMpegWriter, "isAvailable", classmethod(lambda _: False))
    assert contrast(tmp_path / "none", "--animation", "mp4") == 1
    said = capsys.readouterr().err
    assert "ffmpeg" in said
    assert said.count("\n") == 1
    assert not (tmp_path / "none").exists()


def test_a_reading_is_seen_in_the_animation_from_its_own_frame_on(animated):
    lane = ShowPlan((1040, 608), demonstration(Setup(seed=1), SMALL_PLAN)).lane(0, 0)
    strip = (lane.x, lane.y, lane.right, lane.bottom)
    dark = [(np.asarray(shown.crop(strip)) < 70).sum() for _, shown in animated[1]]
    # Two drops land in the first row; then the strip stays as it is.
    assert dark[0] < dark[1] < dark[2] == dark[3] == dark[4]


def test_an_endless_animation_is_refused(monkeypatch):
    monkeypatch.setattr(film_module, "MOST_DROPS", 3)
    shown = demonstration(Setup(seed=1), SMALL_PLAN)
    with pytest.raises(NotPossible, match="3 drops at most, not 8"):
        film(shown, "gif")


def test_the_sources_are_split_at_20_40_and_60_degrees(tmp_path, capsys):
    assert contrast(tmp_path, "--sources") == 0
    table = pd.read_csv(tmp_path / "sources.csv")
    assert sorted(set(table["temperature / °C"])) == [20, 40, 60]
    assert (tmp_path / "sources.png").read_bytes()[:4] == b"\x89PNG"
    assert "its cooling makes" in capsys.readouterr().out


def test_the_repeats_needed_are_tabled_and_charted(tmp_path, capsys, monkeypatch):
    monkeypatch.setattr("sim.commands.perform.REPEATS", (3,))
    assert contrast(tmp_path, "--repeats-needed") == 0
    table = pd.read_csv(tmp_path / "repeats-needed.csv")
    assert "3 repeats" in table.columns
    assert (tmp_path / "repeats-needed.png").read_bytes()[:4] == b"\x89PNG"
    assert "Chance that the readings settle it" in capsys.readouterr().out


@pytest.mark.parametrize("seed", ["1", "2", "3"])
def test_the_command_and_the_projector_judge_alike(tmp_path, capsys, seed):
    plan = ["--temperatures-c", "60,50", "--repeats", "4", "--seed", seed]
    assert main(["contrast", "--out", str(tmp_path), *plan]) == 0
    command = "agree better: they" in capsys.readouterr().out
    procedure = replace(SHOWN_PROCEDURE, temperatures_k=(333.15, 323.15), repeats=4)
    shown = demonstration(Setup(seed=int(seed)), procedure)
    assert command is ("The readings show it" in plain_sentence(shown))
    left = pd.read_csv(tmp_path / "left-to-cool.csv")["rebound height / cm"]
    assert [one.height_m * 100 for one in shown.sides[0].landings] == pytest.approx(list(left))


def test_an_animation_is_not_written_over_unasked(tmp_path, monkeypatch):
    monkeypatch.setattr(film_module, "film", lambda *_: b"another")
    (tmp_path / "demonstration.gif").write_bytes(b"mine")
    assert contrast(tmp_path, "--animation", "gif") == 1
    assert (tmp_path / "demonstration.gif").read_bytes() == b"mine"
