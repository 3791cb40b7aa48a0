"""Which versions this project works with: asks the registry, installs, runs tests, prints a table.

    python .ci/versions.py [SHARE ...]

SHARE are the tests to run in each environment (a quick share of all by default). Needs a network
and about two minutes an environment; uv is installed by the script. Ends with 1 where anything
was found not to hold. What could not be tried is said, and never counted as holding.
"""

from __future__ import annotations

import functools
import json
import re
import shutil
import subprocess
import sys
import tempfile
import tomllib
from pathlib import Path

ROOT = Path(__file__).parents[1]
PROJECT = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]
PYTHONS = ("3.11", "3.12", "3.13", "3.14")
PLATFORMS = {
    "Windows x86_64": "x86_64-pc-windows-msvc",
    "macOS x86_64": "x86_64-apple-darwin",
    "macOS arm64": "aarch64-apple-darwin",
    "Linux x86_64": "x86_64-manylinux_2_28",
    "Linux aarch64": "aarch64-manylinux_2_28",
}
SHARE = (
    "tests/physics", "tests/published", "tests/structure",
    "tests/analysis/test_command.py", "tests/analysis/test_readings_written.py",
    "tests/analysis/test_workbooks.py", "tests/analysis/test_workbook_command.py",
    "tests/sim/test_commands.py", "tests/sim/test_record.py", "tests/sim/test_mark_command.py",
    "tests/sim/classroom/test_collect.py", "tests/bench/test_bench.py",
)  # fmt: skip
HOLDS, FAILS, UNTRIED = "yes", "NO", "not tried"
Row = tuple[str, str, str]


def run(*words: str | Path) -> subprocess.CompletedProcess[str]:
    """A command run from the project's folder, with all that it says."""
    return subprocess.run(words, cwd=ROOT, capture_output=True, text=True, check=False)


def programs(environment: Path) -> Path:
    """The folder of a virtual environment that its programs lie in."""
    return environment / ("Scripts" if sys.platform == "win32" else "bin")


def last_line(done: subprocess.CompletedProcess[str]) -> str:
    """The last thing that a command said, for a cell of the table."""
    lines = [line for line in (done.stderr + done.stdout).splitlines() if line.strip()]
    return lines[-1].strip("= |") if lines else ""


def yanked_minima() -> list[Row]:
    """Whether each declared minimum can still be installed and was not taken back."""
    rows: list[Row] = []
    optional = PROJECT["optional-dependencies"]
    for wanted in (*PROJECT["dependencies"], *optional["tests"], *optional["lint"]):
        name, low = re.match(r"([\w-]+)>=([\w.]+)", wanted).groups()  # type: ignore[union-attr]
        done = run(
            sys.executable, "-m", "pip", "install", f"{name}=={low}", "--dry-run", "--no-deps",
            "--ignore-installed", "--only-binary=:all:", "--quiet", "--report=-",
        )  # fmt: skip
        if done.returncode:
            rows.append((f"{name} {low}, the lowest declared", FAILS, last_line(done)))
        elif json.loads(done.stdout)["install"][0].get("is_yanked") or "yanked" in done.stderr:
            why = re.search(r"being yanked: (.*)", done.stderr)
            said = f"yanked: {why[1] if why else 'no reason given'}"
            rows.append((f"{name} {low}, the lowest declared", FAILS, said))
    return rows or [("every lowest version declared is there and not yanked", HOLDS, "")]


def resolved(uv: Path, python: str, platform: str) -> tuple[dict[str, str], str]:
    """The newest version of every package that has a wheel there, or why there is no such set."""
    done = run(
        uv, "pip", "compile", "pyproject.toml", "--python-version", python, "--python-platform",
        platform, "--only-binary=:all:", "--no-header", "--no-annotate", "--quiet",
        "--no-python-downloads",
    )  # fmt: skip
    found = dict(re.findall(r"^([\w.-]+)==(\S+)", done.stdout, re.MULTILINE))
    return found, "" if found and not done.returncode else last_line(done)


def wheels(uv: Path) -> list[Row]:
    """For every platform and Python: whether all dependencies, transitive too, have a wheel.

    `older` are those whose newest version has none there, so that an earlier one is taken.
    """
    sets = {
        (platform, python): resolved(uv, python, target)
        for platform, target in PLATFORMS.items()
        for python in PYTHONS
    }
    rows = []
    for platform in PLATFORMS:
        for python in PYTHONS:
            found, fault = sets[platform, python]
            usual, _ = sets["Linux x86_64", python]
            older = [f"{name} {found[name]}" for name in found if found[name] != usual.get(name)]
            told = f"{len(found)} packages" + f"; not as on Linux: {', '.join(older)}" * bool(older)
            what = f"wheels, {platform}, Python {python}"
            rows.append((what, FAILS if fault else HOLDS, fault or told))
    return rows


def installed(python: str) -> str | None:
    """An interpreter of this version that runs: on the path, or among those that pyenv keeps."""
    kept = sorted(Path.home().glob(f".pyenv/versions/{python}.*/bin/python"))
    for found in (shutil.which(f"python{python}"), *map(str, kept)):
        if found and run(found, "--version").returncode == 0:
            return found
    return None


def tried(uv: Path, place: Path, python: str, lowest: bool, share: tuple[str, ...]) -> list[Row]:
    """A fresh environment of the lowest or the newest versions: pip check, and a share of tests."""
    what = f"{'lowest' if lowest else 'newest'} versions, Python {python}"
    made = run(uv, "venv", "--quiet", "--seed", "-p", installed(python) or python, place)
    if made.returncode:
        return [(what, UNTRIED, f"no Python {python} on this machine, and none can be fetched")]
    interpreter = programs(place) / "python"
    done = run(
        uv, "pip", "install", "--quiet", "--python", interpreter, ".[tests]",
        "--resolution", "lowest-direct" if lowest else "highest",
    )  # fmt: skip
    if done.returncode:
        return [(f"{what}: install", FAILS, last_line(done))]
    rows = []
    asked = {"pip check": ("pip", "check"), "tests": ("pytest", "-q", "--tb=line", *share)}
    for name, words in asked.items():
        done = run(interpreter, "-m", *words)
        rows.append((f"{what}: {name}", FAILS if done.returncode else HOLDS, last_line(done)))
        if done.returncode:
            print(done.stdout[-6_000:], done.stderr[-2_000:], file=sys.stderr)
    return rows


def main() -> int:
    """Ask everything, print each row as it is known, and tell whether nothing failed."""
    share = tuple(sys.argv[1:]) or SHARE
    found = set()
    with tempfile.TemporaryDirectory() as folder:
        work = Path(folder)
        run(sys.executable, "-m", "venv", work / "uv")
        run(programs(work / "uv") / "python", "-m", "pip", "install", "--quiet", "uv")
        uv = programs(work / "uv") / "uv"
        print("| question | holds | told |\n|---|---|---|", flush=True)
        questions = [yanked_minima, functools.partial(wheels, uv)]
        for python in PYTHONS:
            for lowest in (True, False):
                place = work / f"{python} {lowest}"
                questions.append(functools.partial(tried, uv, place, python, lowest, share))
        for question in questions:
            for what, holds, told in question():
                print(f"| {what} | {holds} | {told.replace('|', '/')} |", flush=True)
                found.add(holds)
    return int(FAILS in found)


if __name__ == "__main__":
    sys.exit(main())
