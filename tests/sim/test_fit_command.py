"""`fit` as a person types it, and its ball with the other commands."""

import json

import numpy as np
import pytest
from PIL import Image

from physics.ball import MEDIUM, PLAYING_SPEEDS
from sim.__main__ import bench_options, main
from sim.calibration.ball_file import ball_in, read_ball_file
from sim.commands.options import ball_of
from sim.state import Setup


@pytest.fixture(scope="module")
def practical(tmp_path_factory):
    folder = tmp_path_factory.mktemp("practical")
    plan = ["--ball", "medium", "--reader", "careful", "--seed", "7"]
    assert main(["perform", "--out", str(folder), *plan]) == 0
    return folder / "readings.csv"


@pytest.fixture(scope="module")
def own(practical, tmp_path_factory):
    folder = tmp_path_factory.mktemp("own")
    assert main(["fit", str(practical), "--out", str(folder)]) == 0
    return folder / "own.ball.json"


def test_fit_writes_a_ball_near_the_true_one_and_a_picture(own):
    ball = ball_in(read_ball_file(own), own)
    assert ball.loss_ratio_40 == pytest.approx(MEDIUM.loss_ratio_40, rel=0.08)
    assert ball.name == "our own"
    assert sorted(path.name for path in own.parent.iterdir()) == ["own.ball.json", "residuals.png"]
    with Image.open(own.parent / "residuals.png") as picture:
        assert picture.mode == "L"
        grey = np.asarray(picture)
    assert 0.005 < np.mean(grey < 128) < 0.2


def test_fit_says_what_is_told_not_told_and_taken_as_given(practical, tmp_path, capsys):
    main(["fit", str(practical), "--out", str(tmp_path)])
    said = capsys.readouterr().out
    for words in (
        "25 readings in 5 sets, 20 °C to 60 °C, dropped from 100 cm",
        "Loss ratio at 40 °C: 0.1",
        "Loss ratio at 0 °C: 0.4",
        "Time constant in still air, 30 °C above a room of 20 °C",
        "Reader's spread",
        "Correlations: loss ratio and cooling -0.",
        "Not told: the slope",
        "Taken as given: Soak 300 s in a bath kept at its temperature; room",
        "Times between drops are the file's own",
    ):
        assert words in said


def test_the_options_change_what_is_taken_as_given(practical, tmp_path, capsys):
    options = ["--soak-s", "120", "--room-c", "24", "--water-g", "400", "--eye-level-cm", "35"]
    more = ["--no-towel", "--drying-s", "3", "--handling-s", "11", "--mass-g", "23.2"]
    more += ["--bath", "beaker"]
    assert main(["fit", str(practical), "--out", str(tmp_path), *options, *more]) == 0
    said = capsys.readouterr().out
    assert "Soak 120 s in a beaker of water that cools (400 g, read 16 s before)" in said
    assert "room 24 °C" in said
    assert "still wet 3 s after it was lifted out, and released 11 s later" in said
    assert "35 cm above the floor" in said
    document = json.loads((tmp_path / "own.ball.json").read_bytes())
    assert document["ball"]["mass_kg"] == 0.0232


@pytest.mark.parametrize("way", [("kept", "300"), ("beaker", "120")], ids=["kept", "beaker"])
def test_the_ball_is_found_from_readings_taken_in_bath_and_in_beaker(tmp_path, capsys, way):
    told = ["--bath", way[0], "--soak-s", way[1]]
    plan = ["--ball", "medium", "--camera", "240", "--seed", "5"]
    assert main(["perform", "--out", str(tmp_path), *plan, *told]) == 0
    readings = str(tmp_path / "readings.csv")
    assert main(["fit", readings, "--out", str(tmp_path / "own"), *told]) == 0
    found = ball_in(read_ball_file(tmp_path / "own" / "own.ball.json"), tmp_path)
    true = Setup(seed=5, model=MEDIUM).ball
    assert found.loss_ratio_40 == pytest.approx(float(true.loss_ratio_40), rel=0.03)
    capsys.readouterr()


def test_a_wrong_bath_is_seen_in_the_fitted_ball(tmp_path):
    # Told that the ball was as warm as a kept bath, the fit takes a cooler ball for a duller one.
    plan = ["--ball", "medium", "--camera", "240", "--bath", "beaker", "--soak-s", "60"]
    assert main(["perform", "--out", str(tmp_path), *plan]) == 0
    ratio = {}
    for bath in ("beaker", "kept"):
        own = tmp_path / bath
        told = ["--bath", bath, "--soak-s", "60" if bath == "beaker" else "300"]
        assert main(["fit", str(tmp_path / "readings.csv"), "--out", str(own), *told]) == 0
        path = own / "own.ball.json"
        ratio[bath] = float(ball_in(read_ball_file(path), path).loss_ratio_40)
    assert ratio["kept"] > 1.03 * ratio["beaker"]


@pytest.mark.parametrize("command", ["perform", "contrast"])
def test_the_ball_file_serves_as_ball(own, tmp_path, command):
    assert main([command, "--ball", str(own), "--out", str(tmp_path), "--repeats", "2"]) == 0


def test_perform_names_the_own_ball_in_its_report(own, tmp_path):
    main(["perform", "--ball", str(own), "--out", str(tmp_path)])
    assert "our own ball" in (tmp_path / "report.html").read_text(encoding="utf-8")


def test_the_bench_takes_the_ball_file(own):
    assert ball_of(bench_options(["--ball", str(own)])).name == "our own"
    for speed, ball in PLAYING_SPEEDS.items():
        assert ball_of(bench_options(["--ball", speed])) is ball


@pytest.mark.parametrize(
    ("content", "words"), [(None, "There is no file"), (b"junk", "not a ball file")]
)
def test_a_bad_ball_file_ends_with_1_and_one_sentence(tmp_path, capsys, content, words):
    path = tmp_path / "bad.ball.json"
    if content is not None:
        path.write_bytes(content)
    assert main(["perform", "--ball", str(path), "--out", str(tmp_path / "out")]) == 1
    said = capsys.readouterr().err
    assert words in said
    assert said.count("\n") == 1
    assert not (tmp_path / "out").exists()


def test_nothing_is_overwritten_without_force(practical, own, capsys):
    before = own.read_bytes()
    other = ["--soak-s", "300"]
    assert main(["fit", str(practical), "--out", str(own.parent), *other]) == 1
    assert "--force" in capsys.readouterr().err
    assert own.read_bytes() == before


@pytest.mark.parametrize(
    ("content", "words"),
    [
        (b"", "empty"),
        (b"temperature / C,rebound height 1 / cm\n20,\n", "no reading"),
        (b"temperature / C,rebound height 1 / cm\n20,21\n40,30\n", "at least 5"),
    ],
)
def test_a_readings_file_that_will_not_do_is_refused(tmp_path, capsys, content, words):
    path = tmp_path / "class.csv"
    path.write_bytes(content)
    assert main(["fit", str(path), "--out", str(tmp_path / "out")]) == 1
    said = capsys.readouterr().err
    assert words in said
    assert said.count("\n") == 1
    assert not (tmp_path / "out").exists()


@pytest.mark.parametrize(
    "arguments",
    [
        [],
        ["x.csv", "--room-c", "nan"],
        ["x.csv", "--room-c", "80"],
        ["x.csv", "--soak-s", "-1"],
        ["x.csv", "--mass-g", "heavy"],
        ["x.csv", "--reheated", "perhaps"],
    ],
)
def test_wrong_usage_ends_with_2(arguments, capsys):
    with pytest.raises(SystemExit) as ending:
        main(["fit", *arguments])
    assert ending.value.code == 2


def test_a_ball_too_heavy_for_its_size_is_refused(practical, tmp_path, capsys):
    plan = ["--mass-g", "900", "--out", str(tmp_path / "out")]
    assert main(["fit", str(practical), *plan]) == 1
    assert "no such ball" in capsys.readouterr().err
