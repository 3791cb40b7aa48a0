"""A practical record in, one file beside it: what `readings` and `mark` have in common."""

from __future__ import annotations

import argparse
import sys
from collections.abc import Callable
from pathlib import Path

from analysis.refusal import Refused
from sim.record.replay import Record, read_record


def record_named(options: argparse.Namespace) -> Record:
    """The record that the command names; what was amiss with it is told."""
    record = read_record(options.record)
    for notice in record.notices:
        print(notice, file=sys.stderr)
    return record


def file_beside(options: argparse.Namespace, usual: Callable[[Path], Path]) -> Path:
    """Where the results go: where `--out` says, or the usual place beside a record that was read.

    Raises Refused where that is the record itself.
    """
    out: Path = options.out or usual(options.record)
    if out.resolve() == options.record.resolve():
        raise Refused(f"{out} is the record itself", mend="give the results another name")
    return out
