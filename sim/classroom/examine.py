"""One file that was handed in: read, checked and marked. Many go through here side by side.

Whatever is wrong with a file ends here, as a sentence about that file.

What a record says of how it came about: readings, their fit to the drops, and exact acts.

A practical that a student carried out has waits and placings with many decimals, which no other
practical has in the same order; and readings that lie near where the ball truly rose.

A results table typed in from paper, marked against the readings of that student's sheet.

A progress bar for long work; it is seen in a terminal only.

Many files examined at once by several processes; one that dies takes no other file with it.
"""

from __future__ import annotations

import math
import os
import sys
from collections import Counter
from collections.abc import Sequence
from concurrent.futures import Future, ProcessPoolExecutor, as_completed
from concurrent.futures.process import BrokenProcessPool
from contextlib import suppress
from dataclasses import dataclass, field, replace
from functools import cache
from multiprocessing import get_context
from typing import TYPE_CHECKING, Never

from analysis.marking.filled import read_work
from analysis.marking.mark import handed_in, mark
from analysis.marking.remark import Feedback
from analysis.marking.work import RoughLine
from analysis.quantity.text import plain, rounded, temperature_text
from analysis.quantity.units import celsius, centimetres, grams, metres
from analysis.refusal import Refused
from sim import actions as act
from sim.classroom.class_key import ball_of_key, procedure_of_key, student_heights_m
from sim.marking import work_of
from sim.record.format import RecordTrouble
from sim.record.readings_file import readings_path
from sim.record.replay import read_record

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable
    from pathlib import Path

    from tqdm import tqdm

    from analysis.marking.sentences.criteria import Criteria
    from sim.classroom.class_key import ClassKey
    from sim.classroom.handed_in import Found, Roster
    from sim.procedure import Procedure
    from sim.record.replay import Record
    from sim.state import RoughReading

RUN = 6
"""Exact acts in a row that make a print; a set of five drops has about ten."""
LEAST_DIFFERENT = 4
"""Different values among them: an idle bench waits the same whole time again and again."""
DROP_HEIGHT_AGREES_M = 0.01
"""A ball held so near the plan's height is held at it. Ours, no source."""
TEMPERATURE_AGREES_K = 5.0
"""Half of the usual step between temperatures: nearer to the planned one than to the next."""
WILD_CM = 15.0
"""A reading so far from the true height is more than a slip of the eye. Ours, no source."""
_EXACT = (act.Wait, act.Hold, act.SetEyeLevel, act.PourAway, act.AddHotWater, act.AddColdWater)


@dataclass(frozen=True)
class Reading:
    """A reading that stands on the rough page, in school units."""

    temperature_c: float
    height_cm: float
    places: int


@dataclass(frozen=True)
class Evidence:
    """What the checks and the search for copies go by.

    `misfit_cm` is the root mean square of the readings from the true heights; NaN without any.
    """

    readings: tuple[Reading, ...] = ()
    prints: frozenset[int] = frozenset()
    misfit_cm: float = math.nan


def evidence_of(record: Record) -> Evidence:
    """The evidence of a record."""
    standing = [line for line in record.end.rough if line.struck_out is None]
    off = [float(centimetres(line.height_m - line.drop.apex_m)) for line in standing]
    return Evidence(
        tuple(_reading(line) for line in standing),
        _prints(record.actions),
        math.sqrt(sum(one * one for one in off) / len(off)) if off else math.nan,
    )


def doubts(record: Record) -> tuple[str, ...]:
    """What in the readings of a record needs a teacher's eye, one sentence each."""
    standing = [line for line in record.end.rough if line.struck_out is None]
    other = sum(_not_as_called_out(line) for line in standing)
    wild = sum(centimetres(abs(line.height_m - line.drop.apex_m)) > WILD_CM for line in standing)
    said = _departures(record)
    if other:
        said.append(f"{_count(other)} not what the reading aid called out for that drop.")
    if wild:
        said.append(f"{_count(wild)} more than {WILD_CM:g} cm from where the ball truly rose to.")
    return tuple(said)


def _departures(record: Record) -> list[str]:
    """Where what was done is not the plan that the record was handed out with.

    Of an empty or a damaged record nothing is said: why something is lacking is told already.
    """
    plan = record.setup.plan
    if plan is None or record.notices or not record.end.rough:
        return []
    standing = [line for line in record.end.rough if line.struck_out is None]
    elsewhere = [
        line
        for line in standing
        if abs(line.drop.mark_m - plan.drop_height_m) > DROP_HEIGHT_AGREES_M
    ]
    said = []
    if elsewhere:
        planned = plain(float(centimetres(plan.drop_height_m)), 1)
        did = plain(float(centimetres(elsewhere[0].drop.mark_m)), 1)
        said.append(
            f"{_count(len(elsewhere))} of drops from another height than the plan's {planned} cm, "
            f"the first from {did} cm."
        )
    few = [
        temperature_text(planned_k)
        for planned_k in plan.temperatures_k
        if sum(_nearest_k(line, plan) == planned_k for line in standing) < plan.repeats
    ]
    if few:
        said.append(
            f"The plan asks for {plan.repeats} at each temperature; fewer readings stand at "
            f"{', '.join(few)}."
        )
    return said


def _nearest_k(line: RoughReading, plan: Procedure) -> float:
    """The planned temperature that a reading is nearest to, or NaN where all are far off."""
    nearest = min(plan.temperatures_k, key=lambda planned_k: abs(planned_k - line.temperature_k))
    return nearest if abs(nearest - line.temperature_k) <= TEMPERATURE_AGREES_K else math.nan


def _count(readings: int) -> str:
    return "1 reading is" if readings == 1 else f"{readings} readings are"


def _not_as_called_out(line: RoughReading) -> bool:
    if not line.aided or line.drop.called_out is None:
        return False
    half_step_m = metres(0.5 * 10.0**-line.decimal_places)
    return abs(line.height_m - float(line.drop.called_out.height_m)) > half_step_m + 1e-9


def _reading(line: RoughReading) -> Reading:
    return Reading(
        round(float(celsius(line.temperature_k)), 3),
        round(float(centimetres(line.height_m)), 6),
        line.decimal_places,
    )


def _prints(actions: Iterable[act.Action]) -> frozenset[int]:
    """Hashes of each run of exact acts. Python hashes numbers alike in every process."""
    exact = [value for action in actions if (value := _exact_value(action)) is not None]
    runs = (tuple(exact[start : start + RUN]) for start in range(len(exact) - RUN + 1))
    return frozenset(hash(run) for run in runs if len(set(run)) >= LEAST_DIFFERENT)


def _exact_value(action: act.Action) -> float | None:
    """The number of an act if it has more than four decimals, which nobody sets by intent."""
    if not isinstance(action, _EXACT):
        return None
    value = float(getattr(action, action.__struct_fields__[0]))
    ten_thousandths = value * 1e4
    return value if abs(ten_thousandths - round(ten_thousandths)) > 1e-5 else None


def paper_feedback(key: ClassKey, number: int, path: Path, criteria: Criteria | None) -> Feedback:
    """What the marking says of a typed-in table and the answers under it, if any.

    The printed readings stand for the rough page, so readings that are not those of the sheet
    show. Raises Refused where the file holds no table.
    """
    work = read_work(path)
    pages = handed_in(work)
    procedure = procedure_of_key(key)
    on_sheet = replace(
        work,
        rough=_rough(key, number),
        mass_g=rounded(grams(ball_of_key(key).mass_kg), 6),
        drop_height_cm=rounded(float(centimetres(procedure.drop_height_m)), 6),
    )
    remarks = mark(on_sheet, criteria).remarks
    return Feedback(tuple(remark for remark in remarks if remark.page in pages))


def _rough(key: ClassKey, number: int) -> tuple[RoughLine, ...]:
    procedure = procedure_of_key(key)
    places = procedure.observer.decimal_places_cm
    heights_cm = centimetres(student_heights_m(key, number))
    return tuple(
        RoughLine(rounded(float(celsius(temperature_k)), 6), rounded(float(height), places), places)
        for temperature_k, row in zip(procedure.temperatures_k, heights_cm, strict=True)
        for height in row
    )


UNTOUCHED = "Nothing was done in it: it is as it was handed out."


@dataclass(frozen=True)
class Context:
    """What every file of a class is held against; `criteria` names a file of the teacher's."""

    roster: Roster
    criteria: Path | None = None


@dataclass(frozen=True)
class Examined:
    """What came of one file.

    Attributes:
        file: its name within the folder.
        refused: why nothing could be marked, one sentence; the rest is then empty.
        owner: the student whose practical it is by its seed, or whose sheet by its name.
        claims: the students that the file's name and label say.
        own: whether the seed is that of a student of the class (a table has none: True).
        acts: how much was done, for choosing between two files of one student; 0 for a table.
        notes: what needs a teacher's eye, one sentence each.
        evidence: readings and prints, for the search for copies.
        feedback: what the marking says.

    """

    file: str
    refused: str = ""
    owner: int | None = None
    claims: frozenset[int] = frozenset()
    own: bool = False
    acts: int = 0
    notes: tuple[str, ...] = ()
    evidence: Evidence = field(default_factory=Evidence)
    feedback: Feedback = field(default_factory=lambda: Feedback(()))


def examined(context: Context, found: Found) -> Examined:
    """Read, check and mark one file. Never raises for what stands in the file."""
    if found.kind == "unread":
        return Examined(found.name, f"{found.name}: {found.reason}.")
    try:
        judge = _record if found.kind == "record" else _table
        return judge(context, found)
    except (RecordTrouble, Refused) as refusal:
        said = str(refusal)
        return Examined(found.name, said if found.path.name in said else f"{found.name}: {said}")
    except Exception as fault:  # one file must not stop the class: a fault of ours is named too
        return Examined(
            found.name,
            f"{found.name} could not be marked, which is a fault of this program "
            f"({type(fault).__name__}: {fault}): look at it by hand.",
        )


def _record(context: Context, found: Found) -> Examined:
    record = read_record(found.path)
    owner = context.roster.owner(record.setup)
    claims = context.roster.claims(found.path.name, record.label)
    return Examined(
        file=found.name,
        owner=owner,
        claims=claims,
        own=owner is not None,
        acts=len(record.actions),
        notes=(*record.notices, *_unlike(context.roster, owner, record), *_readings(found, record)),
        evidence=evidence_of(record),
        feedback=mark(work_of(record.end), _criteria(context.criteria)),
    )


def _unlike(roster: Roster, owner: int | None, record: Record) -> tuple[str, ...]:
    if owner is not None and not roster.is_as_handed_out(owner, record.setup):
        return ("The bench is not as it was handed out: ball, room, hand or plan were altered.",)
    return ()


def _readings(found: Found, record: Record) -> tuple[str, ...]:
    """What is doubtful of the readings, also of those in the file beside the record."""
    said = doubts(record) if record.actions else (UNTOUCHED,)
    beside = readings_path(found.path)
    if beside.is_file() and not _agree(beside, record):
        said = (*said, f"{beside.name} holds other readings than its record gives.")
    return said


def _agree(beside: Path, record: Record) -> bool:
    from analysis.readings.readings import read_readings

    try:
        frame = read_readings(beside).frame
    except Refused:
        return False
    columns = (celsius(frame["temperature_k"]), centimetres(frame["rebound_height_m"]))
    found = Counter(zip(*(values.round(3).tolist() for values in columns), strict=True))
    own = evidence_of(record).readings
    return found == Counter((one.temperature_c, round(one.height_cm, 3)) for one in own)


def _table(context: Context, found: Found) -> Examined:
    number = next(iter(context.roster.claims(found.path.name)), None)
    if number is None:
        raise Refused(
            f"{found.name}: its name does not say whose table it is; begin the name with the "
            "practical's number."
        )
    criteria = _criteria(context.criteria)
    feedback = paper_feedback(context.roster.key, number, found.path, criteria)
    return Examined(
        file=found.name,
        owner=number,
        claims=frozenset({number}),
        own=True,
        notes=("Typed in from paper: what is not in the file is to be marked by hand.",),
        feedback=feedback,
    )


@cache
def _criteria(path: Path | None) -> Criteria | None:
    if path is None:
        return None
    from analysis.marking.sentences.criteria import load

    return load(path)


def bar(total: int, doing: str) -> tqdm[Never]:
    """A bar for so many pieces of work, to be used in a `with` block; `update()` after each."""
    from tqdm import tqdm

    return tqdm(total=total, desc=doing, file=sys.stderr, disable=None, leave=False)


FEW = 40
"""So many files are marked sooner than further processes have started."""
A_PIECE = 8


def all_examined(
    context: Context, files: Sequence[Found], after: Callable[[int], object]
) -> list[Examined]:
    """Examine files, in their order. `after` is called with how many more are done."""
    if len(files) <= FEW:
        results = []
        for found in files:
            results.append(examined(context, found))
            after(1)
        return results
    pieces = [list(files[start : start + A_PIECE]) for start in range(0, len(files), A_PIECE)]
    done = _pooled(context, pieces, after)
    for place, piece in enumerate(pieces):
        if place not in done:  # a process died over one of these
            done[place] = [_alone(context, found) for found in piece]
            after(len(piece))
    return [one for place in sorted(done) for one in done[place]]


def examined_piece(context: Context, piece: Sequence[Found]) -> list[Examined]:
    """Examine a few files in one process."""
    return [examined(context, found) for found in piece]


def _pooled(
    context: Context, pieces: Sequence[Sequence[Found]], after: Callable[[int], object]
) -> dict[int, list[Examined]]:
    """What the pieces gave that were done before any process died; all of them as a rule."""
    done: dict[int, list[Examined]] = {}
    places: dict[Future[list[Examined]], int] = {}
    with _pool(os.cpu_count() or 1) as pool, suppress(BrokenProcessPool):
        for place, piece in enumerate(pieces):
            places[pool.submit(examined_piece, context, piece)] = place
        for future in as_completed(places):
            done[places[future]] = future.result()
            after(len(pieces[places[future]]))
    return done


def _alone(context: Context, found: Found) -> Examined:
    with _pool(1) as pool:
        try:
            return pool.submit(examined, context, found).result()
        except BrokenProcessPool:
            return Examined(
                found.name, f"{found.name} stopped the program that read it: look at it by hand."
            )


def _pool(workers: int) -> ProcessPoolExecutor:
    # Fresh processes: a fork of one that holds threads and a progress bar may hang.
    return ProcessPoolExecutor(workers, mp_context=get_context("spawn"))
