"""Good files taken apart, spoilt in one place and put together again, for every reader of files.

Run as a program it reads so many of them with what the operating system holds it to: 500 MB more
than it begins with, and five seconds for each. Nothing but a refusal in one sentence is raised.
"""

import io
import re
import signal
import sys
import time
import zipfile
from collections import Counter
from functools import cache
from pathlib import Path

import numpy as np

from analysis.marking.filled import read_work
from analysis.marking.sentences.criteria import OWN_FILE, load
from analysis.readings.columns import OutColumn
from analysis.readings.readings import read_readings
from analysis.readings.spreadsheets import TableSheet, ods_bytes, xlsx_bytes
from analysis.refusal import Refused
from physics.ball import FAST
from sim.bench.model.judging import judging_of
from sim.calibration.ball_file import content_of, read_ball_file
from sim.classroom.answers import read_answers
from sim.classroom.class_key import Handout, key_bytes, new_key, read_key
from sim.classroom.corrections import Corrections, read_corrections
from sim.classroom.names import read_names
from sim.procedure import Procedure
from tests.sim.test_calibrate_ball_file import FILE as BALL

MOST_S, MOST_MB = 5, 500

NUMBERS = [b"0", b"-1", b"1e999", b"nan", b"4294967295", b"1048577", b"9" * 20, b"", b"x"]
BITS = [
    *(b"<", b">", b"/>", b'"', b"'", b"&", b"&#0;", b"&#x1F600;", b"\0", b"\xff", b"\xed\xa0\x80"),
    *(b"<!DOCTYPE a>", b"<!--", b"<![CDATA[", b"<a>" * 200, b" r='XFD1048576'", b"</table:table>"),
    *(b' table:number-rows-repeated="999999999"', b"[" * 5_000, b'{"a":' * 5_000, b"\n\n[a]\n"),
    *("９ ½ \u202e \x1b[2J".encode(), b"<c><v>1</v></c>", b"<si/>", b"A" * 70_000),
]


def columns():
    heights = [23.0, 24.5, 28.0]
    return (
        OutColumn("temperature / °C", [20.0, 30.0, 40.0]),
        OutColumn("repeat 1 / cm", heights, 1),
        OutColumn("name", ["Ada", "Ben", "=Cay"]),
        OutColumn("student", ["1", "2", "3"]),
        OutColumn("criterion", ["a", "b", "c"]),
        OutColumn("verdict", ["right", "no", "x"]),
        OutColumn("program", ["left to you", "credited", "not yet"]),
        OutColumn("judged so far", ["right", "x", ""]),
    )


@cache
def good_files():
    """Content by ending, and what reads it."""
    table = [TableSheet("readings", columns(), ("about",)), TableSheet("notes")]
    key = new_key(Handout("records", FAST, Procedure()), ("Ada", "Ben"), 1)
    names = ("Ada", "Ben", "Cay")
    of_tables = (
        *(read_readings, read_names, read_work),
        lambda path: read_corrections(path, names),
        lambda path: judging_of(read_answers(path), Corrections()),
    )
    return {
        ".xlsx": (xlsx_bytes(table), of_tables),
        ".ods": (ods_bytes(table), of_tables),
        ".csv": ("temperature / °C,repeat 1 / cm\n20,23\n30,28\n".encode(), of_tables),
        ".json": (key_bytes(key), (read_key,)),
        ".ball.json": (content_of(BALL), (read_ball_file,)),
        ".toml": (OWN_FILE.read_bytes(), (load,)),
    }


def spoilt(content, chance):
    """Some bytes with one to three things wrong with them."""
    for _ in range(chance.integers(1, 4)):
        place = int(chance.integers(len(content) + 1))
        end = min(len(content), place + int(chance.choice([1, 5, 40, 400])))
        bit = BITS[chance.integers(len(BITS))]
        numbers = list(re.finditer(rb"[0-9]+", content))
        kind = chance.integers(7)
        if kind == 0:
            content = content[:place] + bit + content[place:]
        elif kind == 1:
            content = content[:place] + content[end:]
        elif kind == 2:
            more = content[place:end] * int(chance.choice([1, 9, 900]))
            content = content[:end] + more + content[end:]
        elif kind == 3:
            content = content[:place]
        elif kind == 4 and numbers:
            found = numbers[chance.integers(len(numbers))]
            number = NUMBERS[chance.integers(len(NUMBERS))]
            content = content[: found.start()] + number + content[found.end() :]
        elif kind == 5:
            was, by = (b'"', b"'") if chance.random() < 0.5 else (b"r=", b"r =")
            content = content.replace(was, by)
        else:
            content = content[:place] + bytes([int(chance.integers(256))]) + content[place + 1 :]
    return content


ELEMENT = re.compile(rb"<(\w[\w:.-]*)(?: [^<>]*)?(?:/>|>(?:[^<>]|<(?!/\1>)[^<>]*>)*</\1>)")
ATTRIBUTE = re.compile(rb' [\w:.-]+="([^"]*)"')
TEXT = re.compile(rb">([^<>]+)<")
TEXTS = [
    *NUMBERS,
    b"s",
    b"inlineStr",
    b"d",
    b"e",
    b"XFD1048576",
    b"A0",
    b"2",
    b"date",
    b"&lt;" * 900,
]


def reshaped(xml, chance):
    """XML that is still well formed, with elements, values or texts lost, repeated or changed."""
    for _ in range(chance.integers(1, 3)):
        kind = chance.integers(4)
        place = int(chance.integers(len(xml)))
        one = (ELEMENT, ELEMENT, ATTRIBUTE, TEXT)[kind].search(xml, place)
        if one is None:
            continue
        start, end = one.span(int(kind > 1))
        by = [b"", one[0] * int(chance.choice([2, 50, 2_000])), TEXTS[chance.integers(len(TEXTS))]]
        xml = xml[:start] + by[min(int(kind), 2)] + xml[end:]
    return xml


def spoilt_workbook(content, chance):
    """A workbook with one part spoilt, lost, twice there or packed in another way."""
    with zipfile.ZipFile(io.BytesIO(content)) as book:
        parts = {name: book.read(name) for name in book.namelist()}
    names = [name for name in parts if re.search(r"sheet|workbook|sharedS|styles|content", name)]
    name = names[chance.integers(len(names))]
    what = chance.integers(12)
    if what == 0:
        del parts[name]
    elif what == 1:
        parts[name] = parts[names[chance.integers(len(names))]]
    else:
        parts[name] = (spoilt if what < 5 else reshaped)(parts[name], chance)
    kinds = [zipfile.ZIP_DEFLATED] * 20 + [zipfile.ZIP_STORED, zipfile.ZIP_BZIP2, zipfile.ZIP_LZMA]
    file = io.BytesIO()
    with zipfile.ZipFile(file, "w", kinds[chance.integers(len(kinds))]) as book:
        for one, part in parts.items():
            book.writestr(one, part)
    packed = file.getvalue()
    return spoilt(packed, chance) if what == 2 else packed


def read_all(folder, rounds, seed):
    """Read so many spoilt files; how many of each ending were read, and the slowest by ending."""
    chance = np.random.default_rng(seed)
    files = good_files()
    endings = list(files)
    shares = np.array([8, 8, 2, 2, 2, 1]) / 23
    read, slowest = Counter(), Counter()
    for _ in range(rounds):
        ending = endings[chance.choice(len(endings), p=shares)]
        content, readers = files[ending]
        spoil = spoilt_workbook if ending in (".xlsx", ".ods") else spoilt
        path = folder / f"spoilt{ending}"
        path.write_bytes(spoil(content, chance))
        took = one_read(path, readers[chance.integers(len(readers))])
        read[ending] += 1
        slowest[ending] = max(slowest[ending], took)
    return read, slowest


def one_read(path, reader):
    begun = time.perf_counter()
    try:
        found = reader(path)
        if hasattr(found, "handout"):
            assert found.handout
    except Refused as refusal:
        sentence = str(refusal)
        assert "\n" not in sentence
        assert sentence.endswith(".")
    return time.perf_counter() - begun


def held(folder, rounds, seed):
    """Read so many within what the operating system allows, and print what came of it."""
    import resource  # not on Windows

    def late(*_):
        raise TimeoutError

    signal.signal(signal.SIGALRM, late)
    good_files()
    taken = int(Path("/proc/self/statm").read_text().split()[0]) * resource.getpagesize()
    resource.setrlimit(resource.RLIMIT_AS, (taken + MOST_MB * 2**20,) * 2)
    total, worst = Counter(), Counter()
    for number in range(rounds):
        signal.alarm(MOST_S)
        read, slowest = read_all(folder, 1, [seed, number])
        signal.alarm(0)
        total += read
        worst |= slowest
    peak_mb = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss // 1024
    print(dict(total), {name: round(took, 2) for name, took in worst.items()}, peak_mb, "MB")


if __name__ == "__main__":
    held(Path(sys.argv[1]), int(sys.argv[2]), int(sys.argv[3]))
