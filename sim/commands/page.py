"""The command `page`: the practical for any browser, as one HTML file or a folder of a server."""

from __future__ import annotations

import argparse
from pathlib import Path

from analysis.command_line import say, say_written
from analysis.files import staged, write_whole
from analysis.refusal import Refused
from sim.classroom.class_key import read_key
from sim.classroom.page_places import OLDER, ClassPlace, page_places
from sim.page.builder import CLASS_PART, INDEX, beside_page, page_folder, page_parts, single_page
from sim.page.bytecode import compiled_ahead

BYTES_IN_MB = 1_000_000
NAME = "rebound-practical"


def run(options: argparse.Namespace) -> int:
    """Make the page, write it, and say how large it is and for whom."""
    said, places = _class_of(options)
    parts, trouble = compiled_ahead(options.runtime, page_parts(options.runtime, places))
    out = options.out or Path(NAME if options.folder else f"{NAME}.html")
    if options.folder:
        files = page_folder(parts)
        # Names and seeds of a class that the folder was for before are for nobody else.
        earlier = frozenset({beside_page(CLASS_PART)})
        with staged(out, force=options.force, outdated=earlier) as stage:
            for name, content in files.items():
                stage.put(name, content)
        told = "A folder of {:.1f} MB: put it on a web server; " + f"{INDEX} is the page."
    else:
        files = {out.name: single_page(parts)}
        write_whole(out, files[out.name], force=options.force)
        told = "One file of {:.1f} MB: open it in a browser, send it, carry it."
    say(told.format(sum(map(len, files.values())) / BYTES_IN_MB), *said, *trouble)
    say_written(out)
    return 0


def _class_of(options: argparse.Namespace) -> tuple[tuple[str, ...], tuple[ClassPlace, ...]]:
    """What is to be said of the class, and its places; nothing where no class is named."""
    if options.class_key is None:
        if options.names:
            raise Refused("--names is for the page of a class", mend="name its key with --class")
        return (), ()
    key = read_key(options.class_key)
    places = page_places(key, by_name=options.names)
    by = "name" if options.names else "number"
    return (
        f"It has {len(places)} places, taken by {by}. Names and seeds of the whole class stand in "
        "it, as in the set's files: give it to the class alone.",
        *(() if key.true_then else (OLDER,)),
    ), places
