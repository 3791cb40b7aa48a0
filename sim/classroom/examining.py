"""One file that was handed in: read, checked and marked. Many go through here side by side.

Whatever is wrong with a file ends here, as a sentence about that file.
"""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass, field
from functools import cache
from typing import TYPE_CHECKING

from analysis.marking.feedback import Feedback
from analysis.marking.mark import mark
from analysis.quantity import celsius, centimetres
from analysis.refusal import Refused
from sim.classroom.evidence import Evidence, doubts, evidence_of
from sim.classroom.paper_work import paper_feedback
from sim.marking import work_of
from sim.record_reading import read_record
from sim.record_readings import readings_path
from sim.record_trouble import RecordTrouble

if TYPE_CHECKING:
    from pathlib import Path

    from analysis.marking.criteria import Criteria
    from sim.classroom.handed_in import Found
    from sim.classroom.owners import Roster
    from sim.record import Record

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
        return ("The bench is not as it was handed out: ball, room or hand were altered.",)
    return ()


def _readings(found: Found, record: Record) -> tuple[str, ...]:
    """What is doubtful of the readings, also of those in the file beside the record."""
    said = doubts(record) if record.actions else (UNTOUCHED,)
    beside = readings_path(found.path)
    if beside.is_file() and not _agree(beside, record):
        said = (*said, f"{beside.name} holds other readings than its record gives.")
    return said


def _agree(beside: Path, record: Record) -> bool:
    from analysis.readings import read_readings

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
    from analysis.marking.criteria import load

    return load(path)
