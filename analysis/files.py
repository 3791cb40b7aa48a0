"""A file on disk appears whole or not at all, and never over another one unasked.

The files that one analysis leaves behind: all of them, whole, or none.

A whole folder of files that appears in one piece or not at all.

Files are made in a folder beside the one that was asked for and take their places at the end.
Every name is one that this program made; it is still held to lie inside.
"""

from __future__ import annotations

import os
import shutil
import tempfile
from collections.abc import Iterator, Mapping
from contextlib import contextmanager, suppress
from pathlib import Path, PurePosixPath

from analysis.refusal import Refused


def write_whole(path: Path, content: bytes, *, force: bool = False) -> None:
    """Write through a neighbouring part file that takes the name at the end.

    Raises Refused if the file exists and `force` is not given, or if it cannot be written.
    """
    if path.is_dir():
        raise Refused(f"{path} is a folder: give the file another name.")
    if path.exists() and not force:
        raise Refused(f"{path} exists already: choose another name, or allow it with --force.")
    part = path.with_name(f".{path.name}.{os.getpid()}.part")
    try:
        with part.open("wb") as file:
            file.write(content)
            file.flush()
            os.fsync(file.fileno())
        part.replace(path)
    except OSError as error:
        with suppress(OSError):
            part.unlink()
        reason = error.strerror or error
        raise Refused(
            f"{path} cannot be written ({reason}): check the folder, and close the file elsewhere."
        ) from None
    except BaseException:
        with suppress(OSError):
            part.unlink()
        raise


def written(folder: Path, contents: Mapping[str, bytes], *, force: bool) -> tuple[Path, ...]:
    """Write the files into the folder, made if need be, and give their paths.

    They are written beside it first and moved at the end. Raises Refused, in one sentence, where
    the folder is no folder or cannot be written, or a file exists and `force` is not given.
    """
    targets = tuple(folder / name for name in contents)
    _check(folder, targets, force=force)
    stage: Path | None = None
    made = [parent for parent in (folder, *folder.parents) if not parent.exists()]
    try:
        folder.mkdir(parents=True, exist_ok=True)
        stage = Path(tempfile.mkdtemp(dir=folder, prefix=".part-"))
        for name, content in contents.items():
            (stage / name).write_bytes(content)
        for target in targets:
            (stage / target.name).replace(target)
    except OSError as error:
        reason = error.strerror or error
        raise Refused(
            f"The folder {folder} cannot be written ({reason}): choose another with --out."
        ) from None
    finally:
        if stage is not None:
            shutil.rmtree(stage, ignore_errors=True)
        _remove_empty(made)
    return targets


def _check(folder: Path, targets: tuple[Path, ...], *, force: bool) -> None:
    if folder.exists() and not folder.is_dir():
        raise Refused(f"{folder} is a file, not a folder: choose another with --out.")
    there = [target.name for target in targets if target.exists()]
    if there and not force:
        raise Refused(
            f"{folder} already holds {', '.join(there)}: choose another folder with --out, or "
            "allow overwriting with --force."
        )


def _remove_empty(folders: list[Path]) -> None:
    """Take away folders made for nothing; one that holds something stays."""
    for folder in folders:
        try:
            folder.rmdir()
        except OSError:
            return


class Stage:
    """Where the files of a folder are made before they take their places."""

    def __init__(self, folder: Path) -> None:
        """Take over an empty folder."""
        self._folder = folder

    def put(self, name: str, content: bytes) -> None:
        """Make a file, `name` with "/" between folders. Raises Refused if it cannot be written."""
        parts = PurePosixPath(name).parts
        if not parts or any(part in ("..", ".", "/") or "\\" in part for part in parts):
            raise Refused(f"No file can be called {name!r}: choose another name.")
        path = self._folder.joinpath(*parts)
        try:
            path.parent.mkdir(parents=True, exist_ok=True)
            with path.open("xb") as file:
                file.write(content)
        except OSError as error:
            reason = error.strerror or error
            raise Refused(f"{name} cannot be written ({reason}): choose another --out.") from error


@contextmanager
def staged(folder: Path, *, force: bool, keep: frozenset[str] = frozenset()) -> Iterator[Stage]:
    """Make the files of a folder; they take their places when the block ends without an error.

    `keep` names files that are left as they are where they are there already. Raises Refused
    where the folder is a file, holds something and `force` is not given, or cannot be written.
    With `force`, files of the same names are replaced and others stay.
    """
    check_free(folder, force=force, keep=keep)
    try:
        folder.parent.mkdir(parents=True, exist_ok=True)
        stage = Path(tempfile.mkdtemp(dir=folder.parent, prefix=f".{folder.name[:40]}-part-"))
    except OSError as error:
        raise _unwritable(folder, error) from error
    try:
        yield Stage(stage)
        _placed(stage, folder, keep)
    except OSError as error:
        raise _unwritable(folder, error) from error
    finally:
        shutil.rmtree(stage, ignore_errors=True)


def check_free(folder: Path, *, force: bool, keep: frozenset[str] = frozenset()) -> None:
    """Raise Refused where a folder may not be written into."""
    if folder.exists() and not folder.is_dir():
        raise Refused(f"{folder} is a file, not a folder: choose another with --out.")
    try:
        there = folder.is_dir() and any(path.name not in keep for path in folder.iterdir())
    except OSError as error:
        raise _unwritable(folder, error) from error
    if there and not force:
        raise Refused(
            f"{folder} holds files already: choose another folder with --out, or allow writing "
            "over them with --force."
        )


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


def _unwritable(folder: Path, error: OSError) -> Refused:
    reason = error.strerror or error
    return Refused(f"The folder {folder} cannot be written ({reason}): choose another with --out.")
