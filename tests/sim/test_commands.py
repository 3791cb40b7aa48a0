"""The commands as a person types them: files that appear, words that are said, exit codes."""

import json
import os
import subprocess
import sys

import pandas as pd
import pytest

from analysis.readings.readings import grid, read_readings
from physics import USUAL_SPEED
from physics.ball import PLAYING_SPEEDS, USUAL_BALL
from sim.__main__ import COMMANDS, main
from sim.procedure import SHOWN_PROCEDURE


def perform(folder, *arguments):
    return main(["perform", "--out", str(folder), *arguments])


@pytest.fixture(scope="module")
def seventh(tmp_path_factory):
    """What the seed 7 makes."""
    folder = tmp_path_factory.mktemp("seventh")
    perform(folder, "--seed", "7")
    return folder


def test_perform_leaves_readings_graph_and_report(tmp_path, capsys):
    assert perform(tmp_path / "club", "--seed", "7") == 0
    names = sorted(path.name for path in (tmp_path / "club").iterdir())
    assert names == ["graph.png", "readings.csv", "readings.xlsx", "report.html"]
    table = grid(read_readings(tmp_path / "club" / "readings.csv"))
    assert table.heights_m.shape == (5, 5)
    assert "rebound height increases" in capsys.readouterr().out


def test_nobodys_report_bears_the_name_of_a_school_that_was_not_asked_for(seventh):
    page = (seventh / "report.html").read_text(encoding="utf-8")
    assert "Readings: virtual practical" in page
    assert "Larkmere" not in page


def test_both_readings_files_hold_the_same_readings(tmp_path):
    perform(tmp_path, "--reader", "careful", "--drop-height-cm", "80")
    csv, xlsx = (grid(read_readings(tmp_path / name)) for name in ("readings.csv", "readings.xlsx"))
    assert (csv.heights_m == xlsx.heights_m).all()
    assert csv.drop_height_m == xlsx.drop_height_m == 0.8


def test_the_same_seed_gives_the_same_files(seventh, tmp_path):
    perform(tmp_path, "--seed", "7")
    for name in ("readings.csv", "graph.png", "report.html"):
        assert (tmp_path / name).read_bytes() == (seventh / name).read_bytes()


def test_another_seed_gives_other_readings(seventh, tmp_path):
    perform(tmp_path, "--seed", "8")
    assert (tmp_path / "readings.csv").read_bytes() != (seventh / "readings.csv").read_bytes()


def gradient_cm_per_k(folder, *options):
    perform(folder, "--camera", "240", *options)
    means_m = grid(read_readings(folder / "readings.csv")).heights_m.mean(axis=1)
    return 100.0 * (means_m[-1] - means_m[0]) / 40.0


def test_a_beaker_that_cools_and_a_short_soak_flatten_the_line(tmp_path):
    kept, beaker, short = (
        gradient_cm_per_k(tmp_path / name, *options)
        for name, options in (
            ("kept", ()),
            ("beaker", ("--bath", "beaker")),
            ("short", ("--bath", "beaker", "--soak-s", "120")),
        )
    )
    assert kept > 1.02 * beaker > 1.02 * short


@pytest.mark.parametrize("command", ["perform", "contrast", "demonstrate", "classset"])
def test_the_help_names_the_usual_way_and_the_bath(command, capsys):
    with pytest.raises(SystemExit):
        main([command, "--help"])
    said = " ".join(capsys.readouterr().out.split())
    assert "that of a careful school" in said
    assert "flattens the line" in said
    assert "--bath {kept,beaker}" in said


def test_the_report_says_that_the_readings_are_virtual(tmp_path):
    perform(tmp_path, "--ball", "slow", "--camera", "240", "--seed", "11")
    report = (tmp_path / "report.html").read_text(encoding="utf-8")
    assert "These readings are virtual" in report
    words = "in a bath kept at its temperature, a camera of 240 frames a second, seed 11"
    assert f"slow ball, soaked 300\u00a0s {words}" in report


def test_nothing_is_overwritten_without_force(tmp_path, capsys):
    perform(tmp_path)
    before = (tmp_path / "readings.csv").read_bytes()
    assert perform(tmp_path, "--seed", "99") == 1
    assert (tmp_path / "readings.csv").read_bytes() == before
    assert "--force" in capsys.readouterr().err
    assert perform(tmp_path, "--seed", "99", "--force") == 0
    assert (tmp_path / "readings.csv").read_bytes() != before


def test_contrast_shows_the_two_procedures_side_by_side(tmp_path, capsys):
    assert main(["contrast", "--seed", "7", "--out", str(tmp_path)]) == 0
    said = capsys.readouterr().out
    assert "with the ball put back" in said
    table = pd.read_csv(tmp_path / "contrast.csv")
    assert table.columns[0] == "temperature / °C"
    assert len(table) == len(SHOWN_PROCEDURE.temperatures_k)
    left, back = (
        grid(read_readings(tmp_path / name)).heights_m
        for name in ("left-to-cool.csv", "put-back.csv")
    )
    # The last drop of each set: the ball left to cool has cooled.
    assert (left[:, -1] < back[:, -1]).all()
    assert (tmp_path / "contrast.png").read_bytes()[:4] == b"\x89PNG"


def test_limited_plans_are_carried_out_and_the_report_says_what_it_cannot(tmp_path):
    assert perform(tmp_path / "one", "--repeats", "1", "--temperatures-c", "40") == 0
    report = (tmp_path / "one" / "report.html").read_text(encoding="utf-8")
    assert "40 °C" in report


@pytest.mark.parametrize(
    ("arguments", "words"),
    [
        (["--temperatures-c", "120"], "120 °C"),
        (["--repeats", "0"], "at least one drop"),
        (["--repeats", "99999999"], "200 at most"),
        (["--temperatures-c", ",".join(["20"] * 51)], "50 at most"),
        (["--drop-height-cm", "300"], "300 cm"),
        (["--soak-s", "-5"], "soak"),
        (["--soak-s", "1.2e8"], "86400 s"),
        (["--soak-s", "nan"], "86400 s"),
        (["--drop-height-cm", "nan"], "nan cm"),
        (["--eye-level-cm", "nan"], "nan"),
        (["--eye-level-cm", "inf"], "inf"),
        (["--eye-level-cm", "900"], "9.00 m"),
    ],
)
def test_what_the_bench_cannot_do_is_said_in_one_sentence(tmp_path, capsys, arguments, words):
    assert perform(tmp_path / "none", *arguments) == 1
    said = capsys.readouterr().err
    assert words in said
    assert said.count("\n") == 1
    assert not (tmp_path / "none").exists()


@pytest.mark.parametrize(
    "arguments",
    [
        ["perform", "--seed", "-1"],
        ["perform", "--seed", "many"],
        ["perform", "--temperatures-c", "warm"],
        ["perform", "--ball", "bouncy"],
        ["perform", "--reader", "careful", "--camera", "60"],
        ["fly"],
    ],
)
def test_wrong_usage_ends_with_2(arguments, capsys):
    with pytest.raises(SystemExit) as ending:
        main(arguments)
    assert ending.value.code == 2


def test_a_wrong_word_is_answered_with_every_command(capsys):
    with pytest.raises(SystemExit):
        main(["wrong"])
    said = capsys.readouterr().err.splitlines()[-1]
    assert "'wrong'" in said
    assert [name for name in COMMANDS if name not in said] == []


def test_a_command_behind_options_of_the_bench_is_told_its_place(capsys):
    with pytest.raises(SystemExit) as ending:
        main(["--seed", "3", "perform"])
    assert ending.value.code == 2
    assert "a command comes first: python -m sim perform" in capsys.readouterr().err


HELP = """
import contextlib, io, json, sys
from importlib import import_module
told = []
for words in json.loads(sys.argv[1]):
    sys.argv = ["x", *words[1:]]
    with contextlib.redirect_stdout(io.StringIO()) as said:
        try:
            import_module(words[0]).main([*words[1:], "--help"])
        except SystemExit as ending:
            code = ending.code
    heavy = {"pandas", "matplotlib", "scipy", "pygame", "fpdf"} & set(sys.modules)
    told.append((said.getvalue(), code, sorted(heavy)))
print(json.dumps(told))
"""


DOORS = [["sim.__main__"], ["analysis.__main__"]]
DOORS += [["sim.__main__", name] for name in COMMANDS]
DOORS += [["analysis.__main__", name] for name in ("mark", "paper")]


@pytest.fixture(scope="module")
def helped():
    """What each door says of itself, its exit code, and what is then loaded; in one process."""
    run = [sys.executable, "-c", HELP, json.dumps(DOORS)]
    said = subprocess.run(run, capture_output=True, text=True, check=True).stdout
    return {tuple(door): told for door, told in zip(DOORS, json.loads(said), strict=True)}


@pytest.mark.parametrize("words", DOORS, ids=" ".join)
def test_help_is_given_for_every_command_and_waits_for_no_library(words, helped):
    said, code, heavy = helped[tuple(words)]
    assert said.startswith(f"usage: python -m {words[0].removesuffix('.__main__')}")
    assert (code, heavy) == (0, [])


@pytest.mark.parametrize("words", [["sim.__main__"], ["sim.__main__", "perform"]], ids=" ".join)
def test_help_names_the_ball_that_is_taken_where_nobody_says_which(words, helped):
    said = " ".join(helped[tuple(words)][0].split())
    balls = said.partition("--ball BALL ")[2].partition(" --")[0]
    assert balls.endswith(f"({USUAL_SPEED})")
    assert PLAYING_SPEEDS[USUAL_SPEED] is USUAL_BALL


def test_help_of_the_bench_waits_for_no_numpy():
    """Only the word for the ball is wanted of the models."""
    code = "import sim.__main__, sys; sys.exit('numpy' in sys.modules)"
    assert subprocess.run([sys.executable, "-c", code], check=False).returncode == 0


SEEN = """
import sys
import sim.bench.screen.app as app
from sim.__main__ import main
def seen(*_):
    print(sorted({"pandas", "matplotlib", "scipy", "fpdf"} & set(sys.modules)))
    return ""
app.run = seen
main(["--new", "--folder", sys.argv[1], "--ball", "slow", "--seed", "3"])
"""


def test_the_bench_is_seen_before_any_heavy_library_is_loaded(tmp_path):
    run = [sys.executable, "-c", SEEN, str(tmp_path)]
    environment = {**os.environ, "SDL_VIDEODRIVER": "dummy"}
    done = subprocess.run(run, capture_output=True, text=True, check=True, env=environment)
    assert done.stdout.splitlines()[-1] == "[]"


TAKE_A_FILE = ["readings", "mark", "fit", "classset", "collect . --key", "collect --key x"]
TAKE_A_FILE += ["perform --ball", "--record"]
NO_FILES = [".", "/", "", "/dev/null", "nowhere.csv", "x" * 300]
NO_PATHS = [(words, path) for words in TAKE_A_FILE for path in NO_FILES]
NO_PATHS += [(words, "x" * 300) for words in ("perform --out", "contrast --out", "--folder")]


@pytest.mark.parametrize(("words", "path"), NO_PATHS, ids=str)
def test_a_path_that_will_not_do_is_refused_in_one_sentence(
    words, path, tmp_path, monkeypatch, capsys
):
    monkeypatch.chdir(tmp_path)
    try:
        ended = main([*words.split(), path])
    except SystemExit as ending:
        ended = ending.code
    said = capsys.readouterr().err.splitlines()
    assert ended == 2 or (ended == 1 and len(said) == 1)
    assert said[-1][0] != " "


@pytest.mark.parametrize("where", ["sim.commands.options.parser_of", "analysis.files.Stage.put"])
def test_a_command_that_the_keyboard_stops_leaves_one_line_and_no_file(
    where, tmp_path, monkeypatch, capsys
):
    def stopped(*_):
        raise KeyboardInterrupt

    monkeypatch.setattr(where, stopped)
    assert perform(tmp_path / "club", "--repeats", "2") == 130
    assert capsys.readouterr() == ("", "Stopped.\n")
    assert list(tmp_path.iterdir()) == []


def test_it_runs_as_a_module_from_anywhere(tmp_path):
    done = subprocess.run(
        [sys.executable, "-m", "sim", "perform", "--repeats", "2"],
        cwd=tmp_path,
        capture_output=True,
        text=True,
        check=False,
    )
    assert done.returncode == 0, done.stderr
    assert (tmp_path / "practical" / "graph.png").exists()
