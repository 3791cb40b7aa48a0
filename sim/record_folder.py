"""Where practical records live, what they are called, and which can be gone on with."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from pathlib import Path
from typing import NamedTuple

from sim.record_format import LONGEST_LINE_BYTES, Damage, read_opening
from sim.record_trouble import RecordRefused, RecordTrouble, reason

SUFFIX = ".rebound.jsonl"
MOST_LISTED = 200
"""More are not looked into: the first frame waits for the list."""


@dataclass(frozen=True)
class Begun:
    """A record that can be gone on with: whose it is, when it was last written, how large."""

    path: Path
    label: str | None
    changed: datetime
    size_bytes: int


def practicals_folder() -> Path:
    """Where records are kept when nobody says otherwise: in the user's own data folder."""
    from platformdirs import user_data_path  # 10 ms that few commands need

    return user_data_path("rebound-practical", appauthor=False) / "practicals"


def fresh_path(folder: Path, begun: datetime) -> Path:
    """A name that no record of the folder has yet, from the date and time it is begun."""
    stem = f"practical {begun:%Y-%m-%d %H.%M}"
    path = folder / f"{stem}{SUFFIX}"
    number = 2
    while path.exists():
        path = folder / f"{stem} ({number}){SUFFIX}"
        number += 1
    return path


def unfinished(folder: Path) -> tuple[Begun, ...]:
    """The records of a folder in which something was done, the newest first.

    Only their first lines are read. What is no record, was written in a newer format or has
    no act yet is left out; so is a record that was moved away when it was handed in. A
    record may still turn out to be in use or damaged when it is gone on with.

    Raises:
        RecordTrouble: the folder is there and cannot be read.

    """
    try:
        if not folder.exists():
            return ()
        found = [(path.stat(), path) for path in folder.glob(f"*{SUFFIX}") if path.is_file()]
    except OSError as error:
        raise RecordTrouble(f"{folder} cannot be read: {reason(error)}.") from error
    newest = sorted(found, key=lambda pair: (pair[0].st_mtime_ns, pair[1].name), reverse=True)
    listed: list[Begun] = []
    for status, path in newest[:MOST_LISTED]:
        first = _first_line(path)
        if first is not None and first.length < status.st_size:
            changed = datetime.fromtimestamp(status.st_mtime)
            listed.append(Begun(path, first.label, changed, status.st_size))
    return tuple(listed)


class _FirstLine(NamedTuple):
    length: int
    label: str | None


def _first_line(path: Path) -> _FirstLine | None:
    """What line 1 of a record says, or None where it is none."""
    try:
        with path.open("rb") as file:
            line = file.readline(LONGEST_LINE_BYTES)
        opening, _ = read_opening(line[:-1])
    except (OSError, Damage, RecordRefused):
        return None
    return _FirstLine(len(line), opening.label)
