"""A results table typed in from paper, marked against the readings of that student's sheet."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from analysis.marking.feedback import Feedback
from analysis.marking.filled import read_work
from analysis.marking.mark import handed_in, mark
from analysis.marking.work import RoughReading
from analysis.quantity import celsius, centimetres, rounded
from sim.classroom.class_key import procedure_of_key
from sim.classroom.sets import student_heights_m

if TYPE_CHECKING:
    from pathlib import Path

    from analysis.marking.criteria import Criteria
    from sim.classroom.class_key import ClassKey


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
        drop_height_cm=rounded(float(centimetres(procedure.drop_height_m)), 6),
    )
    remarks = mark(on_sheet, criteria).remarks
    return Feedback(tuple(remark for remark in remarks if remark.page in pages))


def _rough(key: ClassKey, number: int) -> tuple[RoughReading, ...]:
    procedure = procedure_of_key(key)
    places = procedure.observer.decimal_places_cm
    heights_cm = centimetres(student_heights_m(key, number))
    return tuple(
        RoughReading(
            rounded(float(celsius(temperature_k)), 6), rounded(float(height), places), places
        )
        for temperature_k, row in zip(procedure.temperatures_k, heights_cm, strict=True)
        for height in row
    )
