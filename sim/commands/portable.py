"""`portable`: the program as a folder for Windows that needs no installation and no rights.

It holds an embeddable Python, which the user has from python.org, the pinned packages, the program
itself, and two start files. Nothing here runs what it unpacks, so it can be made on any system.
"""

from __future__ import annotations

import argparse
import hashlib
import io
import re
import zipfile
import zlib
from collections import Counter
from collections.abc import Iterable, Iterator, Mapping
from itertools import chain
from pathlib import Path
from typing import NamedTuple

import analysis
import physics
import sim
from analysis.command_line import say, say_written
from analysis.files import Stage, check_free, check_name_free, read_bytes, staged, write_whole
from analysis.paper.cautions import IN_ONE_SENTENCE
from analysis.refusal import Refused, harmless
from sim.commands.pinned_wheels import (
    MOST_MEGABYTES,
    OWN_PINS,
    PinnedPackages,
    checked_wheels,
    fetched_wheels,
    read_pins,
)
from sim.progress import bar

OUR_PACKAGES = (physics, analysis, sim)
PARTS = ("python", "packages", "program")
"""The folders within the folder."""
_OF_EACH_FILE = 30 + 46  # bytes that a zip keeps of each besides its name, which it keeps twice
_X64 = 0x8664  # the kind of processor, as the header of a Windows program names it

BENCH, CLASS, NOTE = "Start the bench.bat", "Class commands.bat", "READ ME FIRST.txt"
START_FILES = {
    BENCH: """@echo off
rem Opens the bench of Rebound Practical; a practical that was dropped on this file goes on.
if /i "%~x1"==".jsonl" (
  "%~dp0python\\python.exe" -m sim --record "%~1"
) else (
  "%~dp0python\\python.exe" -m sim %*
)
if errorlevel 1 pause
""",
    CLASS: """@echo off
rem Opens a window for the commands of Rebound Practical; what they write goes to Documents.
set "PATH=%~dp0python;%PATH%"
cd /d "%USERPROFILE%\\Documents" 2>nul || cd /d "%USERPROFILE%"
title Rebound Practical
echo Type a command and press Enter, for example:
echo.
echo   python -m sim classset names.csv
echo   python -m sim collect "handed in" --key "class set\\teacher only\\key.json"
echo   python -m analysis readings.csv
echo   python -m sim --help
echo.
cmd /k
""",
}
NOTE_TEXT = """Rebound Practical {version}: a folder for 64-bit Windows, without installation

A virtual school practical: how the temperature of a squash ball changes its rebound height.
{caution}

  {bench}   opens the bench; drop a practical (*.rebound.jsonl) on it to go on with it
  {commands}    opens a window for the commands: class sets, marking, analysis

The first start takes longer than the next ones. Practicals are kept in your own data folder; to
remove the program, delete this folder. Nothing is installed, and nothing leaves the machine.

On school laptops, programs in a user's folder or on a stick are often forbidden. If Windows says
so, that is the school's rule: ask the technician, and do not look for a way around it. This folder
has been tried under Wine only, not yet on Windows itself.

What it is made of
  python     Python from {zip_name}
             SHA-256 {digest}
             (this program can only say what it was given: compare with python.org)
  packages   each held to its SHA-256 when this folder was made:
{wheels}
  program    Rebound Practical itself, with its licence

Left out, to save room
{left_out}
"""


class Packed(NamedTuple):
    """A file for the folder, by its path there, and how many bytes it takes in a zip."""

    path: str
    content: bytes
    zipped: int


class Filled(NamedTuple):
    """The files of a folder by their paths, its bytes, and what was left out: why, and how much."""

    paths: frozenset[str]
    unpacked: int
    zipped: int
    left_out: tuple[tuple[str, int], ...]


def run(options: argparse.Namespace) -> int:
    """Make the folder, and say what it is made of, what was left out, and how large it is."""
    check_free(options.out, force=options.force)
    if options.zip is not None:
        check_name_free(options.zip, force=options.force)
    pins = read_pins(options.pins or OWN_PINS)
    python, digest = _embeddable(options.python, pins)
    wheels = checked_wheels(options.wheels or fetched_wheels(pins), pins)
    earlier = _earlier_files(options.out)
    with staged(options.out, force=options.force) as stage:
        filled = _fill(stage, chain(_python_files(python, pins), _package_files(wheels)), pins)
        texts = {**START_FILES, NOTE: _note(options.python.name, digest, pins, filled)}
        for name, text in texts.items():
            stage.put(name, text.replace("\n", "\r\n").encode("ascii", "replace"))
    for name in earlier - filled.paths:
        (options.out / name).unlink(missing_ok=True)
    say(
        f"Python from {options.python.name}, SHA-256 {digest}: compare it with python.org's",
        f"{len(pins.wheels)} packages, each with the pinned SHA-256",
        *(f"Left out {_megabytes(size)}: {why}" for why, size in filled.left_out),
        f"The folder holds {_megabytes(filled.unpacked)}, zipped about {_megabytes(filled.zipped)}",
    )
    written = [options.out]
    if options.zip is not None:
        packed = _zipped(options.out, sorted(filled.paths | texts.keys()))
        write_whole(options.zip, packed, force=options.force)
        written.append(options.zip)
    say_written(*written)
    return 0


def _zipped(folder: Path, paths: Iterable[str]) -> bytes:
    """These files of a folder as one zip, pressed as hard as Windows can still unpack it."""
    packed = io.BytesIO()
    with zipfile.ZipFile(packed, "w", zipfile.ZIP_DEFLATED, compresslevel=9) as archive:
        for path in paths:
            archive.write(folder / path, path)
    return packed.getvalue()


def _fill(stage: Stage, packed: Iterable[Packed], pins: PinnedPackages) -> Filled:
    """Put into the folder what belongs there, and the program itself."""
    paths: set[str] = set()
    unpacked = zipped = 0
    left: Counter[str] = Counter()
    for one in chain(packed, _own_files()):
        why = pins.reason_to_leave(one.path.removeprefix("packages/"))
        if why is not None:
            left[why] += one.zipped
            continue
        stage.put(one.path, one.content)
        paths.add(one.path)
        unpacked, zipped = unpacked + len(one.content), zipped + _in_a_zip(one)
    return Filled(frozenset(paths), unpacked, zipped, tuple(left.most_common()))


def _in_a_zip(one: Packed) -> int:
    """The bytes of a file in a zip, with what the zip says of it: before it, and in its index."""
    return one.zipped + _OF_EACH_FILE + 2 * len(one.path.encode())


def _megabytes(size: int) -> str:
    return f"{size / 1e6:.1f} MB"


def _note(zip_name: str, digest: str, pins: PinnedPackages, filled: Filled) -> str:
    return NOTE_TEXT.format(
        version=sim.__version__,
        caution=IN_ONE_SENTENCE,
        bench=BENCH,
        commands=CLASS,
        zip_name=harmless(zip_name),
        digest=digest,
        wheels="\n".join(f"             {name}" for name in pins.wheels),
        left_out="\n".join(f"  {why}" for why, _ in filled.left_out),
    )


def _earlier_files(folder: Path) -> frozenset[str]:
    """What an earlier making left in its folders: no module of then may be loaded now."""
    if not (folder / NOTE).is_file():
        return frozenset()
    found = (path for part in PARTS for path in (folder / part).rglob("*") if path.is_file())
    return frozenset(path.relative_to(folder).as_posix() for path in found)


def _members(content: bytes, source: str) -> Iterator[tuple[zipfile.ZipInfo, bytes]]:
    """The files in a zip. Raises Refused where it is none, is damaged, or unpacks to too much."""
    try:
        with zipfile.ZipFile(io.BytesIO(content)) as archive:
            infos = [info for info in archive.infolist() if not info.is_dir()]
            if sum(info.file_size for info in infos) > MOST_MEGABYTES * 1_000_000:
                raise Refused(f"{source} unpacks to more than {MOST_MEGABYTES} MB")
            for info in infos:
                yield info, archive.read(info)
    except (zipfile.BadZipFile, zlib.error, NotImplementedError, RuntimeError, EOFError):
        raise Refused(f"{source} is no zip file, or a damaged one", mend="fetch it again") from None


def _embeddable(
    path: Path, pins: PinnedPackages
) -> tuple[dict[str, tuple[zipfile.ZipInfo, bytes]], str]:
    """The files of an embeddable Python by their names, and the SHA-256 of its zip.

    Raises Refused where it is none, of another version than the pinned wheels, or not for 64 bits.
    """
    mend = f"take 'Windows embeddable package (64-bit)' of Python {pins.python} from python.org"
    zipped = read_bytes(path, MOST_MEGABYTES, mend=mend)
    found = {info.filename: (info, content) for info, content in _members(zipped, path.name)}
    paths = sorted(name for name in found if re.fullmatch(r"([^/]+/)?python\d+\._pth", name))
    if not paths:
        raise Refused(f"{path.name} is no embeddable Python", mend=mend)
    within, slash, searched = paths[0].rpartition("/")
    python = {
        name.removeprefix(within + slash): one
        for name, one in found.items()
        if name.startswith(within + slash)
    }
    if searched != _search_path_file(pins):
        other = searched.removesuffix("._pth")
        said = f"{path.name} holds {other}, and the packages are those for Python {pins.python}"
        raise Refused(said, mend=mend)
    if "python.exe" not in python or _machine(python["python.exe"][1]) != _X64:
        raise Refused(f"{path.name} holds no Python for 64-bit Windows", mend=mend)
    return python, hashlib.sha256(zipped).hexdigest()


def _search_path_file(pins: PinnedPackages) -> str:
    """The file that tells an embeddable Python where modules are looked for."""
    return f"python{pins.python.replace('.', '')}._pth"


def _machine(program: bytes) -> int:
    """The kind of processor that a Windows program is for: its header's first word."""
    header = int.from_bytes(program[0x3C:0x40], "little")
    return int.from_bytes(program[header + 4 : header + 6], "little")


def _python_files(
    python: Mapping[str, tuple[zipfile.ZipInfo, bytes]], pins: PinnedPackages
) -> Iterator[Packed]:
    """Python's own files; where it looks for modules is told anew."""
    searched = _search_path_file(pins)
    library = searched.replace("._pth", ".zip")
    for name, (info, content) in python.items():
        if name == library:
            yield from _library(f"python/{name}", content, pins)
        elif name != searched:
            yield Packed(f"python/{name}", content, info.compress_size)
    lines = f"{library}\r\n.\r\n..\\packages\r\n..\\program\r\n".encode("ascii")
    yield Packed(f"python/{searched}", lines, len(lines))


def _library(path: str, content: bytes, pins: PinnedPackages) -> Iterator[Packed]:
    """Python's own library, without what is left out of it.

    It is a zip within the folder. Its members are stored as they are: a zip of the folder then
    presses all of them at once, and better than each alone.
    """
    kept = io.BytesIO()
    with zipfile.ZipFile(kept, "w", zipfile.ZIP_STORED) as archive:
        for info, member in _members(content, path):
            within = f"{path}/{info.filename}"
            if pins.reason_to_leave(within) is None:
                archive.writestr(zipfile.ZipInfo(info.filename, info.date_time), member)
            else:
                yield Packed(within, member, info.compress_size)
    yield Packed(path, kept.getvalue(), len(zlib.compress(kept.getvalue())))


def _package_files(wheels: Mapping[str, bytes]) -> Iterator[Packed]:
    with bar(len(wheels), "unpacking") as progress:
        for wheel, content in wheels.items():
            for info, member in _members(content, wheel):
                yield Packed(f"packages/{info.filename}", member, info.compress_size)
            progress.update()


def _own_files() -> Iterator[Packed]:
    """The program's own files and its licence."""
    for package in OUR_PACKAGES:
        home = Path(package.__path__[0])
        for path in sorted(home.rglob("*")):
            within = path.relative_to(home.parent)
            if path.is_file() and not {"__pycache__", "pictures"} & set(within.parts):
                yield _own_file(path, within.as_posix())
    around = Path(sim.__path__[0]).parent
    licences = [*around.glob("rebound_practical-*.dist-info/**/LICENSE"), around / "LICENSE"]
    yield from (_own_file(path, path.name) for path in licences[:1] if path.is_file())


def _own_file(path: Path, name: str) -> Packed:
    content = path.read_bytes()
    return Packed(f"program/{name}", content, len(zlib.compress(content)))
