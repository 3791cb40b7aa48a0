"""`readings`: the readings file of a practical, written again from its record alone."""

from __future__ import annotations

import argparse

from analysis.command_line import say
from sim.commands.from_record import file_beside, record_named
from sim.record.readings_file import readings_path, write_readings


def run(options: argparse.Namespace) -> int:
    """Read the record, tell what was amiss, and write its readings."""
    record = record_named(options)
    out = file_beside(options, readings_path)
    write_readings(record.end, out, force=options.force)
    say(str(out))
    return 0
