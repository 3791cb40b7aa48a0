"""The places of a class on one page for all: what each student's own practical begins with.

A place has what the class set gives to that student as a file, and nothing of the key besides: its
opening line, byte for byte, and the name of its file. The opening line has the student's name in it
too, so the page is for the class alone, whether names are shown or not.
"""

from __future__ import annotations

import msgspec
from msgspec import UNSET, Struct, UnsetType

from analysis.refusal import Refused
from sim.classroom.class_key import ClassKey, empty_record, record_name, shown_number
from sim.record.format import SUFFIX

OLDER = (
    "The class set was made with another version of the program: practicals begun on this page "
    "have today's model, and other true heights than those begun from the set's files."
)


class ClassPlace(Struct, frozen=True):
    """One student's place: what it is called, the file that is handed in, and its opening line.

    `name` is there where the class picks by name.
    """

    number: str
    file: str
    line: str
    name: str | UnsetType = UNSET


def page_places(key: ClassKey, *, by_name: bool) -> tuple[ClassPlace, ...]:
    """The places of a class in their order.

    Without `by_name` no name is shown: the file is called by its number alone.

    Raises:
        Refused: the key's class has readings only, and nobody a practical.
        RecordTrouble: a name holds a sign that no file takes.

    """
    if key.kind != "records":
        raise Refused(
            "The key is that of a set of readings only, in which nobody has a practical",
            mend="make a class set without --readings-only, and give its key",
        )
    return tuple(_place(key, number, by_name=by_name) for number in range(1, len(key.names) + 1))


def _place(key: ClassKey, number: int, *, by_name: bool) -> ClassPlace:
    shown, line = shown_number(key, number), empty_record(key, number).decode()
    if by_name:
        return ClassPlace(shown, record_name(key, number), line, key.names[number - 1])
    return ClassPlace(shown, shown + SUFFIX, line)


def places_content(places: tuple[ClassPlace, ...]) -> bytes:
    """What the page is given of them."""
    return msgspec.json.encode(places)
