"""What comes in by any command: plain files of a bounded size, and one sentence for all else."""

import os
import signal

import pytest

from analysis.__main__ import main as analyse
from physics.ball import FAST
from sim.__main__ import main
from sim.classroom.class_key import Handout, key_bytes, new_key
from sim.procedure import Procedure
from sim.record.file import begin_record, continue_record
from sim.state import Setup

SECONDS = 10


@pytest.fixture(autouse=True)
def deadline():
    """Ends a test that waits for a file without end."""

    if not hasattr(signal, "SIGALRM"):  # Windows
        yield
        return

    def late(*_):
        raise TimeoutError(f"no answer after {SECONDS} s")

    before = signal.signal(signal.SIGALRM, late)
    signal.alarm(SECONDS)
    yield
    signal.alarm(0)
    signal.signal(signal.SIGALRM, before)


@pytest.fixture
def here(tmp_path, monkeypatch):
    """A folder with a class's key, its criteria and a folder to collect."""
    monkeypatch.chdir(tmp_path)
    (tmp_path / "in").mkdir()
    key = new_key(Handout("records", FAST, Procedure()), ("Ada Larkmere",), 1)
    (tmp_path / "key.json").write_bytes(key_bytes(key))
    return tmp_path


WAYS_IN = [
    (analyse, "{}.csv"),
    (analyse, "{}.xlsx"),
    (analyse, "{}.ods"),
    (analyse, "mark {}.csv"),
    (main, "fit {}.csv"),
    (main, "classset {}.csv"),
    (main, "mark {}.rebound.jsonl"),
    (main, "readings {}.rebound.jsonl"),
    (main, "--record {}.rebound.jsonl"),
    (main, "perform --ball {}.ball.json"),
    (main, "collect in --key {}.json"),
    (main, "collect in --key key.json --criteria {}.toml"),
    (main, "collect in --key key.json --corrections {}.csv"),
]


def refusal(command, words, capsys):
    assert command(words.split()) == 1
    said = capsys.readouterr().err
    assert said.count("\n") == 1
    assert said.endswith(".\n")
    return said


@pytest.mark.skipif(not hasattr(os, "mkfifo"), reason="Windows has no named pipes")
@pytest.mark.parametrize(
    ("command", "words"), WAYS_IN, ids=lambda one: getattr(one, "__module__", one)
)
def test_a_pipe_or_a_device_is_refused_at_once(command, words, here, capsys):
    suffix = words[words.index("{}") + 2 :]
    os.mkfifo(here / f"pipe{suffix}")
    (here / f"zero{suffix}").symlink_to("/dev/zero")
    for name in ("pipe", "zero"):
        said = refusal(command, words.format(name), capsys)
        assert "a pipe or a device" in said or "is not a file" in said
    assert sorted(path.name for path in here.iterdir() if path.is_dir()) == ["in"]


@pytest.mark.parametrize("stated", ["1e-30", "1e-320"])
def test_a_resolution_that_no_rule_has_is_one_sentence(stated, here, capsys):
    rows = "temperature / °C,repeat 1 / cm\n20,23\n30,28\n"
    (here / "class.csv").write_text(f"resolution / cm,{stated}\n{rows}", encoding="utf-8")
    assert "class.csv a resolution of" in refusal(analyse, "class.csv", capsys)


def test_a_class_set_of_more_readings_than_memory_holds_is_refused(here, capsys):
    (here / "names.csv").write_text("".join(f"{n}\n" for n in range(60_000)))
    words = "classset names.csv --readings-only --repeats 200"
    assert "60,000,000 readings and 10,000,000" in refusal(main, words, capsys)


def test_what_a_kill_left_half_written_is_gone_at_the_next_opening(here):
    path = here / "x.rebound.jsonl"
    begin_record(path, Setup(1)).close()
    (here / "x.rebound.csv").write_text("mine")
    parts = ["x.rebound.csv.71.part", "x.rebound.jsonl.damaged-1.72.part", "x.rebound.jsonl.7.part"]
    others = ["y.rebound.csv.71.part", "x (2).rebound.csv.71.part", "x.rebound.csv.part"]
    for name in [*parts, *others]:
        (here / f".{name}").write_text("half")
    before = set(here.iterdir())
    file, _ = continue_record(path)
    file.close()
    assert before - set(here.iterdir()) == {here / f".{name}" for name in parts}
