"""A file on disk appears whole or not at all, and never over another one unasked."""

from __future__ import annotations

import os
from contextlib import suppress
from typing import TYPE_CHECKING

from analysis.refusal import Refused

if TYPE_CHECKING:
    from pathlib import Path


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
