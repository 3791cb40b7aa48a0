"""Files on disk: each whole or not at all, all of one run or none, and never over another unasked.

A single file is written beside its place and takes its name at the end. The files of a folder are
made in a folder of their own, in the same place on the disk, and take their places once all of
them exist. What comes in is a plain file of a bounded size: no pipe is waited for, no device is
read without end.
"""

from __future__ import annotations

import errno
import os
import re
import shutil
import stat
import sys
import tempfile
from collections.abc import Iterator, Mapping
from contextlib import contextmanager, suppress
from pathlib import Path, PurePosixPath
from typing import BinaryIO

from analysis.refusal import Refused, reason

# Never waited for, as a pipe without a writer would be; O_BINARY is Windows' own.
_READING = os.O_RDONLY | getattr(os, "O_NONBLOCK", 0) | getattr(os, "O_BINARY", 0)


class NoPlainFile(OSError):
    """A folder, a pipe or a device stands where a file is wanted."""


def open_plain(path: Path) -> BinaryIO:
    """Open a file to be read. Raises OSError, and NoPlainFile at once for what is none."""
    _refuse_other_kinds(path, path.stat())
    file = os.fdopen(os.open(path, _READING), "rb")
    _refuse_other_kinds(path, os.fstat(file.fileno()))  # it may have been changed for another
    return file


def _refuse_other_kinds(path: Path, found: os.stat_result) -> None:
    if stat.S_ISDIR(found.st_mode):
        raise NoPlainFile(errno.EISDIR, "it is a folder", str(path))
    if not stat.S_ISREG(found.st_mode):
        raise NoPlainFile(errno.ENODEV, "it is a pipe or a device, no plain file", str(path))


def read_bytes(path: Path, most_megabytes: int, *, mend: str) -> bytes:
    """The bytes of a plain file. Raises Refused where there is none, or a larger (with `mend`)."""
    try:
        with open_plain(path) as file:
            content = file.read(most_megabytes * 1_000_000 + 1)
    except FileNotFoundError:
        raise Refused(f"There is no file {path}", mend="check its name and folder") from None
    except (OSError, ValueError) as error:  # ValueError: a name that no file can have
        said = f"{path} cannot be opened ({reason(error)})"
        raise Refused(said, mend="check that you may read it") from None
    if len(content) > most_megabytes * 1_000_000:
        raise Refused(f"{path.name} is larger than {most_megabytes} MB", mend=mend)
    return content


def write_whole(path: Path, content: bytes, *, force: bool = False, private: bool = False) -> None:
    """Write through a neighbouring part file that takes the name at the end.

    A `private` one is its owner's alone, where the system knows owners. Raises Refused if the
    file exists and `force` is not given, or if it cannot be written.
    """
    check_name_free(path, force=force)
    _clear_dead(path.parent, rf"\.{re.escape(path.name)}\.([0-9]+)\.part")
    part = path.with_name(f".{path.name}.{os.getpid()}.part")
    try:
        with part.open("wb") as file:
            if private:
                part.chmod(0o600)
            file.write(content)
            file.flush()
            os.fsync(file.fileno())
        part.replace(path)
    except OSError as error:
        mend = "check the folder, and close the file elsewhere"
        raise Refused(f"{path} cannot be written ({reason(error)})", mend=mend) from None
    finally:
        with suppress(OSError):
            part.unlink()


def check_name_free(path: Path, *, force: bool) -> None:
    """Raise Refused where a file may not be written."""
    if path.is_dir():
        raise Refused(f"{path} is a folder", mend="give the file another name")
    if path.exists() and not force:
        mend = "choose another name, or allow it with --force"
        raise Refused(f"{path} exists already", mend=mend)


def clear_parts(path: Path) -> None:
    """Take away what a killed program left of `path` and of files beside it of the same stem.

    For a file that nobody else can be writing.
    """
    stem = path.name.removesuffix(path.suffix)
    parts = re.compile(rf"\.{re.escape(stem)}(?:\.[\w-]+){{1,2}}\.[0-9]+\.part")
    with suppress(OSError):
        for one in path.parent.iterdir():
            if parts.fullmatch(one.name):
                one.unlink()


def _clear_dead(folder: Path, pattern: str) -> None:
    """Take away the files and folders of a name whose process, the pattern's group, has ended."""
    with suppress(OSError):
        for one in list(folder.iterdir()):
            found = re.fullmatch(pattern, one.name)
            if found is None or _is_running(int(found[1])):
                continue
            if one.is_dir():
                shutil.rmtree(one, ignore_errors=True)
            else:
                one.unlink()


def _is_running(process: int) -> bool:
    """Whether there is such a process; one of another user, or that cannot be asked for, is."""
    if sys.platform == "win32":  # where os.kill would end it
        import ctypes  # needed here alone

        handle = ctypes.windll.kernel32.OpenProcess(0x1000, False, process)
        ctypes.windll.kernel32.CloseHandle(handle)
        return bool(handle)
    try:
        os.kill(process, 0)
    except ProcessLookupError:
        return False
    except (OSError, OverflowError):
        return True
    return True


def written(folder: Path, contents: Mapping[str, bytes], *, force: bool) -> tuple[Path, ...]:
    """Write the files into the folder, made if need be beside what it holds; give their paths.

    Raises Refused where the folder is no folder or cannot be written, or one of the files exists
    and `force` is not given.
    """
    _check_folder(folder)
    _clear_stages(folder)
    there = [name for name in contents if (folder / name).exists()]
    if there and not force:
        raise Refused(
            f"{folder} already holds {', '.join(there)}",
            mend="choose another folder with --out, or allow overwriting with --force",
        )
    with _taking_places(folder) as stage:
        for name, content in contents.items():
            stage.put(name, content)
    return tuple(folder / name for name in contents)


class Stage:
    """Where the files of a folder are made before they take their places."""

    def __init__(self, folder: Path) -> None:
        """Take over an empty folder."""
        self._folder = folder
        self.private: set[Path] = set()
        """Folders in it that are their owner's alone."""

    def put(self, name: str, content: bytes, *, private: bool = False) -> None:
        """Make a file, `name` with "/" between folders. Raises Refused if it cannot be written.

        Every name is one that this program made; it is still held to lie inside. A `private` one
        is its owner's alone, where the system knows owners, and so is its folder within this one.
        """
        parts = PurePosixPath(name).parts
        if not parts or any(part in ("..", ".", "/") or "\\" in part for part in parts):
            raise Refused(f"No file can be called {name!r}", mend="choose another name")
        path = self._folder.joinpath(*parts)
        try:
            path.parent.mkdir(parents=True, exist_ok=True)
            if private and path.parent != self._folder:
                path.parent.chmod(0o700)
                self.private.add(path.parent.relative_to(self._folder))
            with path.open("xb") as file:
                file.write(content)
            if private:
                path.chmod(0o600)
        except OSError as error:
            said = f"{name} cannot be written ({reason(error)})"
            raise Refused(said, mend="choose another --out") from error


@contextmanager
def staged(
    folder: Path,
    *,
    force: bool,
    keep: frozenset[str] = frozenset(),
    outdated: frozenset[str] = frozenset(),
) -> Iterator[Stage]:
    """Make the files of a folder; they take their places when the block ends without an error.

    `keep` names files that are left as they are where they are there already; `outdated` names
    those of an earlier run that go, unless they are made again. Raises Refused where the folder is
    a file, holds something and `force` is not given, or cannot be written. With `force`, files of
    the same names are replaced and others stay.
    """
    check_free(folder, force=force, keep=keep)
    with _taking_places(folder, keep, outdated) as stage:
        yield stage


def check_free(folder: Path, *, force: bool, keep: frozenset[str] = frozenset()) -> None:
    """Raise Refused where a folder may not be written into."""
    _check_folder(folder)
    _clear_stages(folder)
    try:
        there = folder.is_dir() and any(path.name not in keep for path in folder.iterdir())
    except OSError as error:
        raise _unwritable(folder, error) from error
    if there and not force:
        raise Refused(
            f"{folder} holds files already",
            mend="choose another folder with --out, or allow writing over them with --force",
        )


def _check_folder(folder: Path) -> None:
    if folder.exists() and not folder.is_dir():
        raise Refused(f"{folder} is a file, not a folder", mend="choose another with --out")


def _clear_stages(folder: Path) -> None:
    """Take away what a killed program was making for this folder, inside it or beside it."""
    for place in (folder, folder.parent):
        _clear_dead(place, rf"{re.escape(_stage_prefix(folder))}([0-9]+)-\w+")


def _stage_prefix(folder: Path) -> str:
    return f".{folder.name[:40]}-part-"


@contextmanager
def _taking_places(
    folder: Path, keep: frozenset[str] = frozenset(), outdated: frozenset[str] = frozenset()
) -> Iterator[Stage]:
    """A stage whose files take their places at the end; where they cannot, none is left."""
    made = [parent for parent in folder.parents if not parent.exists()]
    stage: Path | None = None
    try:
        folder.parent.mkdir(parents=True, exist_ok=True)
        # Beside a folder that is yet to be, inside one that is there: its parent may be closed.
        beside = folder if folder.is_dir() else folder.parent
        prefix = f"{_stage_prefix(folder)}{os.getpid()}-"
        stage = Path(tempfile.mkdtemp(dir=beside, prefix=prefix))
        making = Stage(stage)
        yield making
        if folder.exists():
            for private in making.private:
                (folder / private).mkdir(parents=True, exist_ok=True)
                (folder / private).chmod(0o700)
        gone = [folder / name for name in sorted(outdated) if not (stage / name).exists()]
        _placed(stage, folder, keep)
        for path in gone:
            path.unlink(missing_ok=True)
    except OSError as error:
        raise _unwritable(folder, error) from error
    finally:
        if stage is not None:
            shutil.rmtree(stage, ignore_errors=True)
        _remove_empty(made)


def _placed(stage: Path, folder: Path, keep: frozenset[str]) -> None:
    """Move every file to its place; a new folder takes its name in one step."""
    if not folder.exists():
        stage.chmod(0o755)  # a private folder by birth
        stage.rename(folder)
        return
    for path in sorted(stage.rglob("*")):
        if path.is_dir():
            continue
        target = folder / path.relative_to(stage)
        if path.name in keep and target.exists():
            continue
        target.parent.mkdir(parents=True, exist_ok=True)
        path.replace(target)


def _remove_empty(folders: list[Path]) -> None:
    """Take away folders made for nothing; one that holds something stays."""
    with suppress(OSError):
        for folder in folders:
            folder.rmdir()


def _unwritable(folder: Path, error: OSError) -> Refused:
    said = f"The folder {folder} cannot be written ({reason(error)})"
    return Refused(said, mend="choose another with --out")
