"""The criteria of written answers: one readable file, read and checked.

The file that comes with the program is criteria.toml beside this module; a teacher copies it,
changes it and marks with the copy. Its opening lines say how it is written.

Refusals of a criteria file, each one sentence that names the file and the row.
"""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from functools import lru_cache
from pathlib import Path
from typing import Any, Protocol

from analysis.marking.language import Vocabulary, stems
from analysis.marking.phrases import Alternatives, Groups, Stems, parsed, words_of
from analysis.marking.questions import ANSWERED
from analysis.refusal import Refused

CRITERION_FIELDS = ("name", "page", "question", "asks", "rule", "nudge", "worked")
_LISTS = {"says", "contradicts", "too_little", "teacher"}
_CHOICE = {"from": "choices", "part": "part"}
RULES: dict[str, dict[str, str]] = {
    "says": {},
    "same way": {},
    "choice": {**_CHOICE, "differs_from": "differs_from"},
    "fits": {**_CHOICE, "fits": "fits"},
    "line": _CHOICE,
    "readings": _CHOICE,
    "number": {**_CHOICE, "fits": "fits"},
}
"""Each rule with the fields that it reads, and their names in a `Row`."""

NUDGES = (
    "copied", "dont_know", "same_again", "does_not_fit", "no_number", "not_own_number",
    "against_judgement", "teacher", "first",
)  # fmt: skip
"""Sentences that more than one row may need."""

_OPTIONAL = {"differs_from"}


class _Named(Protocol):
    """What the checks between rows need of a row."""

    @property
    def name(self) -> str:
        """Name of the row."""

    @property
    def page(self) -> str:
        """Page that it marks."""

    @property
    def question(self) -> str:
        """Question that it marks."""

    @property
    def choices(self) -> str:
        """Set of choices, or nothing."""

    @property
    def part(self) -> str:
        """Part of the choices, or nothing."""

    @property
    def fits(self) -> str:
        """Question it builds on, or nothing."""

    @property
    def differs_from(self) -> str:
        """Question it must differ from, or nothing."""


def table(file: str, content: Mapping[str, Any], name: str) -> Mapping[str, Any]:
    """The table of that name. Raises Refused where it is missing or is no table."""
    found = content.get(name)
    if not isinstance(found, dict):
        raise Refused(f"{file} has no table [{name}]: copy it from the program's own file.")
    return found


def lines(file: str, place: str, row: Mapping[str, Any], name: str) -> tuple[str, ...]:
    """The list of that name. Raises Refused where it is missing, or holds anything but text."""
    found = row.get(name)
    if not isinstance(found, list) or not all(isinstance(x, str) and x.strip() for x in found):
        raise Refused(
            f'{file}, {place}: {name} must be a list of texts in quotation marks, ["...", "..."].'
        )
    return tuple(found)


def words(file: str, content: Mapping[str, Any], name: str) -> dict[str, str]:
    """The table of that name, texts only. Raises Refused for anything else in it."""
    found = table(file, content, name)
    for key, value in found.items():
        if not isinstance(value, str):
            raise Refused(f"{file}, [{name}]: {key} must be a text in quotation marks.")
    return dict(found)


def check_row(file: str, index: int, row: Mapping[str, Any]) -> str:
    """Check one [[criterion]] by itself, and give the name that a refusal calls it by."""
    place = f"criterion {index} ({row.get('name', 'without a name')})"
    _need_texts(file, place, row, CRITERION_FIELDS)
    rule = row["rule"]
    if rule not in RULES:
        raise Refused(f"{file}, {place}: no rule is called '{rule}'; use {_listed(RULES)}.")
    _need_texts(file, place, row, tuple(f for f in RULES[rule] if f not in _OPTIONAL))
    known = {*CRITERION_FIELDS, *_LISTS, *RULES[rule], "marks"}
    for field in row:
        if field not in known:
            raise Refused(f"{file}, {place}: '{field}' means nothing under the rule '{rule}'.")
    marks = row.get("marks", 1)
    if not isinstance(marks, int) or isinstance(marks, bool) or marks < 0:
        raise Refused(f"{file}, {place}: marks must be a whole number, 0 or more.")
    if rule == "says" and not row.get("says"):
        raise Refused(f"{file}, {place}: says is missing, so nothing could earn the mark.")
    return place


def check_choice(file: str, index: int, row: Mapping[str, Any]) -> str:
    """Check one [[choice]] by itself, and give the name that a refusal calls it by."""
    place = f"choice {index} ({row.get('name', 'without a name')})"
    _need_texts(file, place, row, ("set", "name"))
    if not isinstance(row.get("words"), dict) or not row["words"]:
        raise Refused(f'{file}, {place}: words is missing; write words.part = ["..."].')
    for field in row:
        if field not in {"set", "name", "words", "outweighs"}:
            raise Refused(f"{file}, {place}: '{field}' means nothing in a choice.")
    return place


def check_nudges(file: str, nudges: dict[str, str]) -> dict[str, str]:
    """The common nudges. Raises Refused where one is missing."""
    for name in NUDGES:
        if not nudges.get(name, "").strip():
            raise Refused(f"{file}, [nudges]: {name} is missing; write its sentence.")
    return nudges


def check_names(file: str, rows: tuple[_Named, ...], parts: Mapping[str, set[str]]) -> None:
    """Check what rows say of each other: names once only, sets and questions that exist."""
    seen: set[str] = set()
    before: set[tuple[str, str]] = set()
    for index, row in enumerate(rows, 1):
        place = f"criterion {index} ({row.name})"
        if row.name in seen:
            raise Refused(f"{file}, {place}: another row has the same name; give it its own.")
        seen.add(row.name)
        if row.choices and row.part not in parts.get(row.choices, set()):
            raise Refused(
                f"{file}, {place}: no choice of the set '{row.choices}' has words.{row.part}."
            )
        for other in (row.fits, row.differs_from):
            if other and (row.page, other) not in before:
                raise Refused(f"{file}, {place}: no row before it marks the question '{other}'.")
        before.add((row.page, row.question))


def _need_texts(file: str, place: str, row: Mapping[str, Any], fields: tuple[str, ...]) -> None:
    for field in fields:
        if not isinstance(row.get(field), str) or not row[field].strip():
            raise Refused(f"{file}, {place}: {field} is missing or no text; write it.")


def _listed(names: Mapping[str, Any]) -> str:
    return ", ".join(f"'{name}'" for name in names)


OWN_FILE = Path(__file__).with_name("criteria.toml")

DIRECTIONS = ("up", "down", "up_beside", "down_beside", "level", "together", "apart")
LISTS = ("says", "contradicts", "too_little", "teacher")


@dataclass(frozen=True)
class Row:
    """One criterion: a row of the file, its wordings ready to be found."""

    name: str
    page: str
    question: str
    asks: str
    rule: str
    lists: Mapping[str, Alternatives]
    nudge: str
    worked: str
    marks: int
    choices: str = ""
    """The set of choices that it draws on (`from` in the file)."""
    part: str = ""
    fits: str = ""
    differs_from: str = ""


@dataclass(frozen=True)
class Choice:
    """One thing that may be named, with its words for each part of the answer."""

    set_name: str
    name: str
    words: Mapping[str, Alternatives]
    outweighs: bool = False
    """Said beside others of its set, it is this one that is meant."""


@dataclass(frozen=True)
class Quantity:
    """Words for a quantity, and words that name it and its direction at once."""

    names: Alternatives
    more: Alternatives
    less: Alternatives


@dataclass(frozen=True)
class Criteria:
    """A whole criteria file."""

    rows: tuple[Row, ...]
    choices: Mapping[str, tuple[Choice, ...]]
    cause: Quantity
    effect: Quantity
    directions: Mapping[str, Alternatives]
    doubt: Alternatives
    dont_know: Alternatives
    nudges: Mapping[str, str]
    vocabulary: Vocabulary


def load(path: Path | str | None = None) -> Criteria:
    """Read a criteria file, the program's own where none is named.

    Raises Refused, in one sentence with the file and the row, for a file that cannot be read, a
    row that lacks something, or a line that cannot be meant.
    """
    return _own() if path is None else _load(Path(path))


@lru_cache(maxsize=1)
def _own() -> Criteria:
    return _load(OWN_FILE)


def _load(path: Path) -> Criteria:
    try:
        content = tomllib.loads(path.read_text(encoding="utf-8-sig"))
    except OSError as error:
        raise Refused(f"{path} cannot be read: {error.strerror}; check its name.") from error
    except UnicodeDecodeError as error:
        raise Refused(f"{path} is not a text file in UTF-8: save it as UTF-8.") from error
    except tomllib.TOMLDecodeError as error:
        raise Refused(f"{path} cannot be read as TOML: {error}.") from error
    return _Loader(path.name, content).criteria()


class _Loader:
    """Turns the file's tables into criteria; keeps the groups and every word on the way."""

    def __init__(self, file: str, content: Mapping[str, Any]) -> None:
        self.file = file
        self.content = content
        self.groups: Groups = {}
        self.known: set[str] = set()

    def criteria(self) -> Criteria:
        self.groups = self._groups()
        choices = self._choices()
        rows = tuple(self._row(index, row) for index, row in enumerate(self._rows("criterion"), 1))
        check_names(self.file, rows, {name: _parts(each) for name, each in choices.items()})
        cause, effect = self._quantities()
        directions = self._section("directions", DIRECTIONS)
        language = table(self.file, self.content, "language")
        place = "[language]"
        return Criteria(
            rows=rows,
            choices=choices,
            cause=cause,
            effect=effect,
            directions=directions,
            doubt=self._lines(lines(self.file, place, language, "doubt"), place),
            dont_know=self._lines(lines(self.file, place, language, "dont_know"), place),
            nudges=check_nudges(self.file, words(self.file, self.content, "nudges")),
            vocabulary=self._vocabulary(language),
        )

    def _rows(self, kind: str) -> list[dict[str, Any]]:
        rows = self.content.get(kind, [])
        if not rows or not isinstance(rows, list) or not all(isinstance(r, dict) for r in rows):
            raise Refused(f"{self.file} has no [[{kind}]] row: write at least one.")
        return rows

    def _groups(self) -> Groups:
        section = table(self.file, self.content, "groups")
        groups: dict[str, tuple[Stems, ...]] = {}
        for name in section:
            texts = lines(self.file, "[groups]", section, name)
            groups[name.replace("_", " ")] = wordings = tuple(stems(text) for text in texts)
            if not all(wordings):
                empty = texts[wordings.index(())]
                raise Refused(
                    f"{self.file}, [groups]: {name} has '{empty}', which holds no word that counts."
                )
            if any(sign in text for text in texts for sign in "=^+@"):
                raise Refused(f"{self.file}, [groups]: {name} must hold words only, no = ^ + or @.")
            self.known |= {s for wording in wordings for s in wording}
        return groups

    def _lines(self, texts: tuple[str, ...], place: str) -> Alternatives:
        found = []
        for text in texts:
            try:
                found.append(parsed(text, self.groups))
            except ValueError as error:
                raise Refused(f"{self.file}, {place}: {error}; mend or remove it.") from error
        self.known |= words_of(found)
        return tuple(found)

    def _row(self, index: int, row: dict[str, Any]) -> Row:
        place = check_row(self.file, index, row)
        given = {name: row[name] for name in CRITERION_FIELDS if name in row}
        lists = {
            name: self._lines(lines(self.file, place, row, name), place)
            for name in LISTS
            if name in row
        }
        return Row(
            name=given["name"],
            page=given["page"],
            question=given["question"],
            asks=given["asks"],
            rule=given["rule"],
            lists=lists,
            nudge=given["nudge"],
            worked=given["worked"],
            marks=row.get("marks", 1),
            **{own: row[name] for name, own in RULES[given["rule"]].items() if name in row},
        )

    def _choices(self) -> dict[str, tuple[Choice, ...]]:
        sets: dict[str, tuple[Choice, ...]] = {}
        for index, row in enumerate(self._rows("choice"), 1):
            place = check_choice(self.file, index, row)
            said = {
                part: self._lines(lines(self.file, place, row["words"], part), place)
                for part in row["words"]
            }
            choice = Choice(row["set"], row["name"], said, bool(row.get("outweighs", False)))
            sets[choice.set_name] = (*sets.get(choice.set_name, ()), choice)
        return sets

    def _quantities(self) -> tuple[Quantity, Quantity]:
        section = table(self.file, self.content, "quantities")
        if len(section) != 2:
            raise Refused(
                f"{self.file}, [quantities] names {len(section)} quantities: give two, the one "
                "that is changed and the one that is measured."
            )
        cause, effect = (
            Quantity(**self._section(f"quantities.{name}", ("names", "more", "less")))
            for name in section
        )
        return cause, effect

    def _section(self, name: str, fields: tuple[str, ...]) -> dict[str, Alternatives]:
        section: Mapping[str, Any] = self.content
        for step in name.split("."):
            section = table(self.file, section, step)
        place = f"[{name}]"
        return {
            field: self._lines(lines(self.file, place, section, field), place) for field in fields
        }

    def _vocabulary(self, language: Mapping[str, Any]) -> Vocabulary:
        wanted = self.known | {s for asked in ANSWERED.values() for s in stems(asked.words)}
        lists = {
            name: lines(self.file, "[language]", language, name)
            for name in ("ordinary", "everywhere", "turning")
        }
        return Vocabulary.of(wanted, words(self.file, language, "slips"), lists)


def _parts(choices: tuple[Choice, ...]) -> set[str]:
    return {part for choice in choices for part in choice.words}
