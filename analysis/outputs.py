"""The files that one analysis leaves behind: all of them, whole, or none."""

import shutil
import tempfile
from collections.abc import Mapping
from pathlib import Path

from analysis.refusal import Refused


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
