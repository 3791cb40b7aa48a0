"""The Windows folder as a person makes it: of made-up zips and wheels, once of the real ones."""

import hashlib
import json
import os
import subprocess
import sys
import tomllib
import zipfile
from pathlib import Path

import pytest

from sim.__main__ import main
from tests.sim.made_packages import X86, embeddable, laid_out, wheel, zipped

OWN_PINS = Path(__file__).parents[2] / "sim" / "commands" / "portable.toml"
COUNTING = wheel()
WITHOUT = Path(__file__).with_name("without_left_out.py")


def make(words, *more):
    return main([str(word) for word in (*words, *more)])


def files(folder):
    return {path.relative_to(folder).as_posix() for path in folder.rglob("*") if path.is_file()}


def refused(words, capsys):
    """The one sentence that the command refuses with; nothing is left behind."""
    before = files(words[2].parent)
    assert make(words) == 1
    assert files(words[2].parent) == before
    said = capsys.readouterr().err
    assert said.count("\n") == 1
    return said


@pytest.fixture(scope="module")
def made(tmp_path_factory):
    """A folder that was made."""
    words = laid_out(tmp_path_factory.mktemp("portable"), COUNTING)
    assert make(words) == 0
    return words[-1]


def test_the_folder_holds_python_the_packages_and_the_program(made):
    found = files(made)
    assert {"Start the bench.bat", "Class commands.bat", "READ ME FIRST.txt"} <= found
    assert {"python/python.exe", "python/python312.zip", "packages/counting/__init__.py"} <= found
    assert {"program/sim/__main__.py", "program/analysis/paper/page.html.jinja"} <= found
    assert "program/physics/ball.py" in found
    assert "program/LICENSE" in found
    assert not [name for name in found if "__pycache__" in name or "/pictures/" in name]


def test_python_looks_for_modules_in_the_folder_alone(made):
    lines = (made / "python" / "python312._pth").read_text(encoding="ascii").split()
    assert lines == ["python312.zip", ".", "..\\packages", "..\\program"]


def test_what_was_left_out_is_said(tmp_path, capsys):
    words = laid_out(tmp_path, COUNTING)
    assert make(words) == 0
    found = files(words[-1])
    assert "packages/counting/tests/test_it.py" not in found
    assert "python/sqlite3.dll" not in found
    said = capsys.readouterr().out
    note = (words[-1] / "READ ME FIRST.txt").read_text(encoding="ascii")
    for why in ("tests", "a database", "a handbook"):
        assert f"MB: {why}\n" in said
        assert f"  {why}\n" in note
    digest = hashlib.sha256((tmp_path / "python.zip").read_bytes()).hexdigest()
    assert f"SHA-256 {digest}" in said
    assert f"SHA-256 {digest}" in note
    assert "often forbidden" in note


def test_the_start_files_find_python_beside_them_and_are_windows_own(made):
    for name, words in (
        ("Start the bench.bat", '"%~dp0python\\python.exe" -m sim %*\r\n'),
        ("Start the bench.bat", '"%~dp0python\\python.exe" -m sim --record "%~1"\r\n'),
        ("Class commands.bat", 'set "PATH=%~dp0python;%PATH%"\r\n'),
    ):
        text = (made / name).read_bytes().decode("ascii")
        assert text.startswith("@echo off\r\n")
        assert words in text
        assert "\n" not in text.replace("\r\n", "")


def test_an_embeddable_python_may_lie_in_a_folder_of_its_zip(tmp_path):
    words = laid_out(tmp_path, COUNTING, python=embeddable(within="cp312/"))
    assert make(words) == 0
    assert (words[-1] / "python" / "python.exe").is_file()


def test_pythons_own_library_is_kept_without_what_is_left_out_of_it(made):
    library = made / "python" / "python312.zip"
    with zipfile.ZipFile(library) as archive:
        assert archive.namelist() == ["argparse.pyc"]
        assert archive.read("argparse.pyc") == b"words"


def test_one_zip_holds_the_folder_and_is_as_large_as_was_said(tmp_path, capsys):
    words, one = laid_out(tmp_path, COUNTING), tmp_path / "to hand on.zip"
    assert make(words, "--zip", one) == 0
    said = capsys.readouterr().out
    assert f"Written: {words[-1]}, {one}" in said
    with zipfile.ZipFile(one) as archive:
        assert set(archive.namelist()) == files(words[-1])
        assert archive.read("python/python.exe") == (words[-1] / "python/python.exe").read_bytes()
    told_mb = float(said.partition("zipped about ")[2].split()[0])
    assert one.stat().st_size / 1e6 == pytest.approx(told_mb, abs=0.1)


def test_a_zip_that_exists_is_left_alone_and_no_folder_is_made(tmp_path, capsys):
    words, one = laid_out(tmp_path, COUNTING), tmp_path / "mine.zip"
    one.write_text("kept")
    assert make(words, "--zip", one) == 1
    assert f"{one} exists already" in capsys.readouterr().err
    assert one.read_text() == "kept"
    assert not words[-1].exists()


@pytest.mark.parametrize(
    ("python", "said"),
    [
        (b"nothing zipped", "is no zip file"),
        (embeddable()[:-30], "is no zip file"),
        (zipped({"a letter.txt": "Dear Ada"}), "is no embeddable Python"),
        (embeddable("313"), "holds python313, and the packages are those for Python 3.12"),
        (embeddable(machine=X86), "no Python for 64-bit Windows"),
        (zipped({"python312._pth": "."}), "no Python for 64-bit Windows"),
    ],
    ids=["no zip", "cut short", "another zip", "another version", "32 bits", "no program"],
)
def test_a_zip_that_is_no_such_python_is_refused(python, said, tmp_path, capsys):
    told = refused(laid_out(tmp_path, COUNTING, python=python), capsys)
    assert said in told
    assert "again" in told or "take 'Windows embeddable package (64-bit)' of Python 3.12" in told


def test_a_zip_that_reaches_out_of_the_folder_is_refused(tmp_path, capsys):
    outside = zipped({"counting/../../../outside.py": "x"})
    words = laid_out(tmp_path, ("counting-1.0-py3-none-any.whl", outside))
    assert "No file can be called" in refused(words, capsys)


def test_a_wheel_whose_hash_differs_is_refused(tmp_path, capsys):
    words = laid_out(tmp_path, COUNTING)
    name, _ = COUNTING
    (tmp_path / "wheels" / name).write_bytes(wheel(version="1.0", more="changed")[1])
    said = refused(words, capsys)
    assert f"{name} in {tmp_path / 'wheels'} is not the pinned file" in said
    assert hashlib.sha256((tmp_path / "wheels" / name).read_bytes()).hexdigest() in said


def test_a_wheel_that_is_missing_is_named(tmp_path, capsys):
    words = laid_out(tmp_path, COUNTING)
    (tmp_path / "wheels" / COUNTING[0]).unlink()
    assert f"put {COUNTING[0]} there" in refused(words, capsys)


@pytest.mark.parametrize("text", ["[wheels", 'python = "3.12"', 'python = 3\n[wheels]\n"a" = 1'])
def test_pins_that_are_none_are_refused(text, tmp_path, capsys):
    words = laid_out(tmp_path, COUNTING)
    (tmp_path / "pins.toml").write_text(text, encoding="utf-8")
    assert "In pins.toml: It holds no pins" in refused(words, capsys)


def test_an_existing_folder_is_left_alone_without_force(tmp_path, capsys):
    words = laid_out(tmp_path, COUNTING)
    words[-1].mkdir()
    (words[-1] / "mine.txt").write_text("kept")
    assert "--force" in refused(words, capsys)


def test_what_an_earlier_making_held_is_gone_and_a_users_file_stays(tmp_path):
    words = laid_out(tmp_path, wheel(**{"counting/old.py": "x = 1\n"}))
    assert make(words) == 0
    (words[-1] / "mine.txt").write_text("kept")
    cached = words[-1] / "packages" / "counting" / "__pycache__" / "old.cpython-312.pyc"
    cached.parent.mkdir()
    cached.write_bytes(b"")
    laid_out(tmp_path, wheel(**{"counting/new.py": "x = 2\n"}))
    assert make(words, "--force") == 0
    found = files(words[-1])
    assert {"mine.txt", "packages/counting/new.py"} <= found
    assert not [name for name in found if "old." in name]


def test_nothing_is_taken_away_from_a_folder_that_is_not_ours(tmp_path):
    words = laid_out(tmp_path, COUNTING)
    (words[-1] / "program").mkdir(parents=True)
    (words[-1] / "program" / "mine.txt").write_text("kept")
    assert make(words, "--force") == 0
    assert (words[-1] / "program" / "mine.txt").read_text() == "kept"


@pytest.fixture
def by_pip(tmp_path, monkeypatch):
    """pip finds its packages in a folder, and ours are kept in another: no network."""
    if sys.platform != "linux":
        pytest.skip("where the cache lies can be told on Linux alone")
    for name in [name for name in os.environ if name.startswith("PIP_")]:
        monkeypatch.delenv(name)
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path / "cache"))
    monkeypatch.setenv("PIP_CONFIG_FILE", os.devnull)
    monkeypatch.setenv("PIP_NO_INDEX", "1")
    monkeypatch.setenv("PIP_FIND_LINKS", str(tmp_path / "wheels"))
    words = laid_out(tmp_path, COUNTING)
    at = words.index("--wheels")
    return words[:at] + words[at + 2 :]


def test_pip_fetches_the_wheels_once(by_pip, tmp_path, capsys):
    assert make(by_pip) == 0
    assert "Fetching 1 packages" in capsys.readouterr().out
    (tmp_path / "wheels" / COUNTING[0]).unlink()
    assert make(by_pip, "--force") == 0
    assert "Fetching" not in capsys.readouterr().out


def test_what_pip_cannot_fetch_is_said(by_pip, tmp_path, capsys):
    name, changed = wheel(more="changed")
    (tmp_path / "wheels" / name).write_bytes(changed)
    assert make(by_pip) == 1
    said = capsys.readouterr().err
    assert f"pip could not fetch {name}" in said
    assert said.count("\n") == 1
    assert not by_pip[-1].exists()


def test_what_is_pinned_is_for_one_python_on_windows_and_can_be_refused():
    """The program's own pins: every dependency is among them, and each by a whole SHA-256."""
    own = tomllib.loads(OWN_PINS.read_text(encoding="utf-8"))
    project = tomllib.loads((OWN_PINS.parents[2] / "pyproject.toml").read_text(encoding="utf-8"))
    wanted = {
        line.partition(">")[0].lower().replace("-", "_")
        for line in project["project"]["dependencies"]
    }
    assert wanted <= {name.partition("-")[0].lower() for name in own["wheels"]}
    tag = f"cp{own['python'].replace('.', '')}"
    for name, digest in own["wheels"].items():
        assert len(bytes.fromhex(digest)) == 32
        assert name.endswith(("-none-any.whl", "-win_amd64.whl"))
        assert tag in name or "-abi3-" in name or "-none-any" in name


def test_the_folders_program_runs_without_what_is_left_out(made, tmp_path):
    """With this system's Python and packages, laid out a little differently from Windows' own."""
    own = tomllib.loads(OWN_PINS.read_text(encoding="utf-8"))
    patterns = [pattern for one in own["left_out"] for pattern in one["files"]]
    (tmp_path / "names.csv").write_text("name\nAda\n")
    runs = [
        "sim perform --repeats 3 --out own",
        "analysis own/readings.csv --pdf --svg --out of_csv",
        "analysis own/readings.xlsx --out of_xlsx",
        "analysis paper",
        "sim contrast --temperatures-c 20,60 --repeats 2 --animation gif",
        "sim fit own/readings.csv",
        "sim classset names.csv",
    ]
    words = [sys.executable, WITHOUT, json.dumps(patterns), made / "program", *runs]
    home = {"PYTHONPATH": str(made / "program"), "SDL_VIDEODRIVER": "dummy"}
    done = subprocess.run(
        words, cwd=tmp_path, env=os.environ | home, capture_output=True, text=True, check=False
    )
    assert (done.returncode, done.stderr.strip()) == (0, "")


@pytest.mark.slow
def test_the_pinned_wheels_can_be_had_and_the_folder_stays_small(tmp_path, capsys):
    """Some 90 MB fetched with pip. The Python is made up: python.org's adds 8.7 MB."""
    words, one = laid_out(tmp_path, COUNTING), tmp_path / "to hand on.zip"
    for flag in ("--wheels", "--pins"):
        at = words.index(flag)
        del words[at : at + 2]
    if make(words, "--zip", one) == 1:
        said = capsys.readouterr().err
        assert "pip could not fetch" in said
        pytest.skip(said)
    assert "26 packages, each with the pinned SHA-256" in capsys.readouterr().out
    assert one.stat().st_size < 60_000_000 - 8_700_000  # what is wanted, less that Python
    found = files(words[-1])
    assert "packages/numpy/__init__.py" in found
    assert "packages/matplotlib/mpl-data/fonts/ttf/DejaVuSans.ttf" in found
    assert not [name for name in found if name.startswith("packages/scipy/stats/")]
