"""`readings`: the readings file of a practical, written again from its record alone."""

from __future__ import annotations

import argparse
import sys
from pathlib import Path

from analysis.refusal import Refused
from sim.record.readings_file import readings_path, write_readings
from sim.record.replay import read_record


def add_options(parser: argparse.ArgumentParser) -> None:
    """What the command takes on the command line."""
    parser.description = __doc__
    parser.add_argument("record", type=Path, metavar="RECORD", help="a file *.rebound.jsonl")
    parser.add_argument(
        "--out",
        type=Path,
        metavar="FILE",
        help="csv, xlsx or ods file to write (RECORD with the ending csv)",
    )
    parser.add_argument(
        "--force", action="store_true", help="write over a file that is there already"
    )
    parser.set_defaults(run=run)


def run(options: argparse.Namespace) -> int:
    """Read the record, tell what was amiss, and write its readings."""
    record = read_record(options.record)
    out = options.out or readings_path(options.record)
    if out.resolve() == options.record.resolve():
        raise Refused(f"{out} is the record itself", mend="give the readings another name")
    for notice in record.notices:
        sys.stderr.write(f"{notice}\n")
    write_readings(record.end, out, force=options.force)
    sys.stdout.write(f"{out}\n")
    return 0
