"""Files that were handed in: each read, checked and marked, many side by side.

Whatever is wrong with a file ends here, as a sentence about that file. A results table typed in
from paper is marked against the readings of that student's sheet.
"""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass, field, replace
from functools import cached_property, partial
from typing import TYPE_CHECKING

from analysis.files import read_bytes
from analysis.marking.filled import read_work
from analysis.marking.mark import handed_in, mark
from analysis.marking.work import Feedback, RoughLine
from analysis.quantity.units import celsius, centimetres, grams, rounded
from analysis.readings.readings import read_readings
from analysis.refusal import Refused, harmless
from sim.classroom.class_key import Roster, student_heights_m
from sim.classroom.doubts import doubts
from sim.classroom.evidence import Evidence, evidence_of
from sim.classroom.side_by_side import SharedWork
from sim.marking import work_of
from sim.record.readings_file import readings_content, readings_path
from sim.record.replay import read_record

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence
    from pathlib import Path

    from analysis.marking.sentences.criteria import Criteria
    from sim.classroom.class_key import ClassKey, HandedFile
    from sim.record.replay import Record
    from sim.state import State

UNTOUCHED = "Nothing was done in it: it is as it was handed out."
FROM_PAPER = "Typed in from paper: what is not in the file is to be marked by hand."
ANOTHER_SHEET = (
    "The set was given out with another version of the program, which cannot work the sheet out "
    "again: hold the readings against the sheet by hand."
)


@dataclass(frozen=True)
class Examiner:
    """What every file of a class is held against; criteria where the teacher has some."""

    key: ClassKey
    criteria: Criteria | None = None

    @cached_property
    def roster(self) -> Roster:
        """The class by seed, file name and name."""
        return Roster(self.key)


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


def examined(examiner: Examiner, file: HandedFile) -> Examined:
    """Read, check and mark one file. Never raises for what stands in the file."""
    if file.kind == "unread":
        return Examined(file.name, f"{file.name}: {file.reason}.")
    try:
        judge = _examined_record if file.kind == "record" else _examined_table
        return judge(examiner, file)
    except Refused as refusal:
        said = str(refusal)
        told = harmless(file.path.name) in said
        return Examined(file.name, said if told else f"{file.name}: {said}")
    except Exception as fault:  # one file must not stop the class: a fault of ours is named too
        return Examined(
            file.name,
            f"{file.name} could not be marked, which is a fault of this program "
            f"({type(fault).__name__}: {fault}): look at it by hand.",
        )


def _examined_record(examiner: Examiner, file: HandedFile) -> Examined:
    record = read_record(file.path)
    work = work_of(record.end)
    evidence = evidence_of(record, work)
    owner = examiner.roster.owner(record.setup)
    return Examined(
        file=file.name,
        owner=owner,
        claims=examiner.roster.claims(file.path.name, record.label),
        own=owner is not None,
        acts=len(record.actions),
        notes=(
            *record.notices,
            *_unlike(examiner, owner, record),
            *(doubts(record) if record.actions else (UNTOUCHED,)),
            *_beside(file.path, record.end, evidence),
        ),
        evidence=evidence,
        feedback=mark(work, examiner.criteria),
    )


def _unlike(examiner: Examiner, owner: int | None, record: Record) -> tuple[str, ...]:
    """What in a record's first line is not as it was handed out; the model is the key's too."""
    if owner is None:
        return ()
    said = []
    if not examiner.roster.is_as_handed_out(owner, record.setup):
        said.append("The bench is not as it was handed out: ball, room, hand or plan were altered.")
    if examiner.key.true_then and not record.true_then:
        said.append(
            "It says that another version of the program began it than gave out the class set: its "
            "first line was altered."
        )
    return tuple(said)


def _beside(path: Path, end: State, evidence: Evidence) -> tuple[str, ...]:
    """What is amiss with the readings file beside a record, if there is one."""
    beside = readings_path(path)
    if not beside.is_file() or _agree(beside, end, evidence):
        return ()
    return (f"{beside.name} holds other readings than its record gives.",)


def _agree(beside: Path, end: State, evidence: Evidence) -> bool:
    try:
        if read_bytes(beside, 1, mend="") == readings_content(end, beside):
            return True  # where every reading was struck out, there are none to be read
        frame = read_readings(beside).frame
    except Refused:
        return False
    columns = (celsius(frame["temperature_k"]), centimetres(frame["rebound_height_m"]))
    found = Counter(zip(*(values.round(3).tolist() for values in columns), strict=True))
    own = ((round(one.temperature_c, 3), round(one.height_cm, 3)) for one in evidence.readings)
    return found == Counter(own)


def _examined_table(examiner: Examiner, file: HandedFile) -> Examined:
    number = next(iter(examiner.roster.claims(file.path.name)), None)
    if number is None:
        raise Refused(
            f"{file.name}: its name does not say whose table it is; begin the name with the "
            "practical's number."
        )
    return Examined(
        file=file.name,
        owner=number,
        claims=frozenset({number}),
        own=True,
        notes=(FROM_PAPER,) if examiner.key.true_then else (FROM_PAPER, ANOTHER_SHEET),
        feedback=_paper_feedback(examiner, number, file.path),
    )


def _paper_feedback(examiner: Examiner, number: int, path: Path) -> Feedback:
    """What the marking says of a typed-in table and the answers under it, if any.

    The printed readings stand for the rough page, so readings that are not those of the sheet
    show; not so where another model printed them. Raises Refused where the file holds no table.
    """
    work = read_work(path)
    pages = handed_in(work)
    handout = examiner.key.handout
    on_sheet = replace(
        work,
        rough=_on_sheet(examiner.key, number) if examiner.key.true_then else work.rough,
        mass_g=rounded(grams(handout.ball.mass_kg), 6),
        drop_height_cm=rounded(float(centimetres(handout.procedure.drop_height_m)), 6),
    )
    remarks = mark(on_sheet, examiner.criteria).remarks
    return Feedback(tuple(remark for remark in remarks if remark.page in pages))


def _on_sheet(key: ClassKey, number: int) -> tuple[RoughLine, ...]:
    """The readings that are printed on a student's sheet."""
    procedure = key.handout.procedure
    places = procedure.observer.decimal_places_cm
    heights_cm = centimetres(student_heights_m(key, number))
    return tuple(
        RoughLine(rounded(float(celsius(temperature_k)), 6), rounded(float(height), places), places)
        for temperature_k, row in zip(procedure.temperatures_k, heights_cm, strict=True)
        for height in row
    )


def all_examined(
    examiner: Examiner, files: Sequence[HandedFile], after: Callable[[], object]
) -> list[Examined]:
    """Examine files, in their order. `after` is called after each."""
    results: dict[int, Examined] = {}

    def take(place: int, one: Examined) -> None:
        results[place] = one
        after()

    SharedWork(partial(examined, examiner), _deadly, take).do(files)
    return [results[place] for place in range(len(files))]


def _deadly(file: HandedFile) -> Examined:
    return Examined(file.name, f"{file.name} stopped the program that read it: look at it by hand.")
