"""The packages that the portable folder is made of: pinned wheels, given or fetched with pip.

What is pinned stands in portable.toml. A wheel of another SHA-256 is refused, whoever gave it.
"""

from __future__ import annotations

import hashlib
import subprocess
import sys
import tempfile
import tomllib
from dataclasses import dataclass
from fnmatch import fnmatchcase
from pathlib import Path

import msgspec
from platformdirs import user_cache_path

from analysis.command_line import say
from analysis.files import read_bytes
from analysis.refusal import Refused, harmless
from sim.progress import bar

OWN_PINS = Path(__file__).with_name("portable.toml")
MOST_MEGABYTES = 200
"""Of one archive, packed and unpacked."""


@dataclass(frozen=True)
class LeftOut:
    """Files that stay out of the folder, as patterns of their paths, and why."""

    why: str
    files: tuple[str, ...]


@dataclass(frozen=True)
class PinnedPackages:
    """Which Python, and for it which wheels (file names) by their SHA-256, without what."""

    python: str
    wheels: dict[str, str]
    left_out: tuple[LeftOut, ...] = ()

    def reason_to_leave(self, path: str) -> str | None:
        """Why a file stays out; None where it does not."""
        for one in self.left_out:
            if any(fnmatchcase(path, pattern) for pattern in one.files):
                return one.why
        return None


def read_pins(path: Path) -> PinnedPackages:
    """The pins in a TOML file. Raises Refused where it holds none."""
    text = read_bytes(path, 1, mend="give the file of pins")
    try:
        return msgspec.convert(tomllib.loads(text.decode("utf-8-sig")), PinnedPackages)
    except ValueError as error:
        mend = f"begin from a copy of {OWN_PINS}"
        raise Refused(f"It holds no pins ({error})", where=path.name, mend=mend) from None


def checked_wheels(folder: Path, pins: PinnedPackages) -> dict[str, bytes]:
    """The wheels by their names. Raises Refused where one is missing or not the pinned one."""
    contents = {}
    for name, pinned in pins.wheels.items():
        if not (folder / name).is_file():
            mend = f"put {name} there, or leave --wheels out and it is fetched"
            raise Refused(f"{folder} lacks one of the packages", mend=mend)
        contents[name] = read_bytes(folder / name, MOST_MEGABYTES, mend="fetch it again")
        found = hashlib.sha256(contents[name]).hexdigest()
        if found != pinned:
            raise Refused(
                f"{name} in {folder} is not the pinned file: its SHA-256 is {found}, not {pinned}",
                mend="take it away, and fetch it again",
            )
    return contents


def fetched_wheels(pins: PinnedPackages) -> Path:
    """The folder that pip has fetched the wheels into, now or earlier. Raises Refused."""
    cache = user_cache_path("rebound-practical", appauthor=False) / "wheels"
    missing = [name for name in pins.wheels if not (cache / name).is_file()]
    if missing:
        say(f"Fetching {len(missing)} packages with pip into {cache}")
    with bar(len(missing), "fetching") as progress:
        for name in missing:
            _fetch(name, pins, cache)
            progress.update()
    return cache


def _fetch(wheel: str, pins: PinnedPackages, cache: Path) -> None:
    package, version, *_ = wheel.split("-")
    platform = ["--platform", "win_amd64", "--python-version", pins.python]
    with tempfile.TemporaryDirectory() as scratch:
        wanted = Path(scratch, "wanted.txt")
        wanted.write_text(f"{package}=={version} --hash=sha256:{pins.wheels[wheel]}\n")
        done = subprocess.run(
            [sys.executable, "-m", "pip", "download", "--no-deps", "--only-binary=:all:",
             "--require-hashes", *platform, "--dest", str(cache), "-r", str(wanted)],
            capture_output=True, text=True, errors="replace", check=False,
        )  # fmt: skip
    if done.returncode or not (cache / wheel).is_file():
        lines = [line for line in done.stderr.splitlines() if line.startswith("ERROR: ")]
        said = harmless(lines[-1] if lines else done.stderr[-200:].strip())
        mend = "mend that, or fetch the wheels elsewhere and name their folder with --wheels"
        raise Refused(f"pip could not fetch {wheel} ({said})", mend=mend)
