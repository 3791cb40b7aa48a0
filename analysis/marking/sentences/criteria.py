"""The criteria of answers in sentences: one readable file, read and checked.

The file that comes with the program is criteria.toml beside this module; a teacher copies it,
changes it and marks with the copy. Its opening lines say how it is written. Whatever in it cannot
be meant is refused in one sentence that names the file and the row.
"""

from __future__ import annotations

import tomllib
from collections.abc import Generator, Iterable, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from analysis.files import read_bytes
from analysis.marking.questions import ANSWERED, HAZARDS
from analysis.marking.sentences.claims import DIRECTIONS, ClaimWords, Quantity, Slopes
from analysis.marking.sentences.classifier import own_classifier
from analysis.marking.sentences.language import Vocabulary, stems
from analysis.marking.sentences.phrases import Alternatives, Groups, Stems, parsed, words_of
from analysis.marking.sentences.read_once import ReadOnce
from analysis.marking.work import Criterion
from analysis.refusal import Refused

OWN_FILE = Path(__file__).with_name("criteria.toml")
MOST_MEGABYTES = 4

_FIELDS = ("name", "page", "question", "asks", "rule", "nudge", "worked")
_LISTS = ("says", "contradicts", "too_little", "teacher", "beside")
_CHOICE = {"from": "choices", "part": "part"}
_RULES: dict[str, dict[str, str]] = {
    "says": {},
    "same way": {},
    "choice": {**_CHOICE, "differs_from": "differs_from"},
    "fits": {**_CHOICE, "fits": "fits"},
    "line": _CHOICE,
    "readings": _CHOICE,
    "number": {**_CHOICE, "fits": "fits"},
}
"""Each rule with the fields that it reads, and their names in a `CriterionRow`."""

_OPTIONAL = {"differs_from"}
_NUDGES = (
    "copied", "dont_know", "same_again", "does_not_fit", "no_number", "not_own_number",
    "against_judgement", "teacher", "first",
)  # fmt: skip
"""Sentences that more than one row may need."""


@dataclass(frozen=True)
class CriterionRow:
    """One criterion: a row of the file, its wordings ready to be found."""

    criterion: Criterion
    rule: str
    lists: Mapping[str, Alternatives]
    about: frozenset[str] | None
    """The things that may stand in an answer; None where any may."""
    nudge: str
    worked: str
    choices: str = ""
    """The set of choices that it draws on (`from` in the file)."""
    note: str = ""
    """What is said of an answer that has something of the list `beside` in it."""
    part: str = ""
    fits: str = ""
    differs_from: str = ""
    reads_like: str = ""
    """The kind of question, such as "reason", to whose right answers its own must be alike."""

    @property
    def question(self) -> str:
        """The question whose answer it marks."""
        return self.criterion.question


@dataclass(frozen=True)
class Choice:
    """One thing that may be named, with its words for each part of the answer."""

    set_name: str
    name: str
    words: Mapping[str, Alternatives]
    never: Mapping[str, Alternatives]
    """By part what turns its words into something else ("cold water"): the teacher judges."""
    about: Mapping[str, frozenset[str]]
    """By part the things that may stand in its answers; any other, and the teacher judges."""
    slopes: Slopes | None = None
    """Quantities that it acts by, and which way the rebound goes when each grows; 0 for either."""
    outweighs: bool = False
    """Said beside others of its set, it is this one that is meant."""


@dataclass(frozen=True)
class Criteria:
    """A whole criteria file."""

    rows: tuple[CriterionRow, ...]
    choices: Mapping[str, tuple[Choice, ...]]
    claims: ClaimWords
    things: frozenset[str]
    """Stems of the names of things, each of which answers may be about or not."""
    doubt: Alternatives
    dont_know: Alternatives
    nudges: Mapping[str, str]
    vocabulary: Vocabulary


Reading = Generator[None, None, Criteria]
"""A file that is being read, piece by piece."""


def load(path: Path | str | None = None) -> Criteria:
    """Read a criteria file, the program's own where none is named.

    Raises Refused, in one sentence with the file and the row, for a file that cannot be read, a
    row that lacks something, or a line that cannot be meant.
    """
    return own_criteria() if path is None else ReadOnce(lambda: _read(Path(path)))()


def _read(path: Path) -> Reading:
    try:
        text = read_bytes(path, MOST_MEGABYTES, mend="name a file of criteria")
        content = tomllib.loads(text.decode("utf-8-sig").replace("\r\n", "\n"))
    except UnicodeDecodeError as error:
        raise Refused(f"{path} is not a text file in UTF-8: save it as UTF-8.") from error
    except tomllib.TOMLDecodeError as error:
        raise Refused(f"{path} cannot be read as TOML: {error}.") from error
    except RecursionError as error:
        raise Refused(f"{path} has lists too deep within lists.") from error
    yield
    return (yield from _Loader(path.name, content).criteria())


own_criteria = ReadOnce(lambda: _read(OWN_FILE))
"""The program's own criteria."""


class _Loader:
    """Turns the file's tables into criteria; keeps the groups and every word on the way."""

    def __init__(self, file: str, content: Mapping[str, Any]) -> None:
        self.file = file
        self.content = content
        self.groups: Groups = {}
        self.known: set[str] = set()

    def criteria(self) -> Reading:
        self.groups = self._groups()
        yield
        quantities = self._quantities()
        yield
        choices = yield from self._choices({one.name for one in quantities})
        read = []
        for index, row in enumerate(self._criteria(), 1):
            read.append(self._row(index, row))
            yield
        rows = tuple(read)
        self._check_names(rows, choices)
        language = self._table("language")
        return Criteria(
            rows=rows,
            choices=choices,
            claims=ClaimWords.of(quantities, self._section("directions", DIRECTIONS)),
            things=self._stems("[language]", language, "things"),
            doubt=self._lines("[language]", language, "doubt"),
            dont_know=self._lines("[language]", language, "dont_know"),
            nudges=self._nudges(),
            vocabulary=self._vocabulary(language),
        )

    def _refused(self, place: str, said: str) -> Refused:
        return Refused(f"{self.file}, {place}: {said}")

    def _table(self, name: str) -> Mapping[str, Any]:
        """The table of that name, "quantities.height" within another."""
        found = self.content
        for step in name.split("."):
            inner = found.get(step)
            if not isinstance(inner, dict):
                raise Refused(
                    f"{self.file} has no table [{step}]: copy it from the program's own file."
                )
            found = inner
        return found

    def _rows(self, kind: str) -> list[dict[str, Any]]:
        rows = self.content.get(kind, [])
        if not rows or not isinstance(rows, list) or not all(isinstance(r, dict) for r in rows):
            raise Refused(f"{self.file} has no [[{kind}]] row: write at least one.")
        return rows

    def _texts(self, place: str, row: Mapping[str, Any], name: str) -> tuple[str, ...]:
        """A list of texts as it is written."""
        found = row.get(name)
        if not isinstance(found, list) or not all(isinstance(x, str) and x.strip() for x in found):
            said = f'{name} must be a list of texts in quotation marks, ["...", "..."].'
            raise self._refused(place, said)
        return tuple(found)

    def _lines(self, place: str, row: Mapping[str, Any], name: str) -> Alternatives:
        """A list of texts, ready to be found in an answer."""
        found = []
        for text in self._texts(place, row, name):
            try:
                found.append(parsed(text, self.groups))
            except ValueError as error:
                raise self._refused(place, f"{error}; mend or remove it.") from error
        self.known |= words_of(found)
        return tuple(found)

    def _stems(self, place: str, row: Mapping[str, Any], name: str) -> frozenset[str]:
        """The stems of a list of single words."""
        found = frozenset(s for text in self._texts(place, row, name) for s in stems(text))
        self.known |= found
        return found

    def _section(self, name: str, fields: Iterable[str]) -> dict[str, Alternatives]:
        section = self._table(name)
        return {field: self._lines(f"[{name}]", section, field) for field in fields}

    def _words(self, name: str) -> dict[str, str]:
        """The last table of a name such as "language.slips", each of its texts by its key."""
        found = self._table(name)
        place = f"[{name.rpartition('.')[2]}]"
        for key, value in found.items():
            if not isinstance(value, str):
                raise self._refused(place, f"{key} must be a text in quotation marks.")
        return dict(found)

    def _groups(self) -> Groups:
        groups: dict[str, tuple[Stems, ...]] = {}
        for name in (section := self._table("groups")):
            texts = self._texts("[groups]", section, name)
            groups[name.replace("_", " ")] = wordings = tuple(map(stems, texts))
            if not all(wordings):
                empty = texts[wordings.index(())]
                raise self._refused(
                    "[groups]", f"{name} has '{empty}', which holds no word that counts."
                )
            if any(sign in text for text in texts for sign in "=^+@"):
                raise self._refused("[groups]", f"{name} must hold words only, no = ^ + or @.")
            self.known |= {s for wording in wordings for s in wording}
        return groups

    def _criteria(self) -> list[dict[str, Any]]:
        """The [[criterion]] rows, one that is `like` another with what it does not say itself."""
        found: list[dict[str, Any]] = []
        for index, row in enumerate(self._rows("criterion"), 1):
            base = next((one for one in found if one.get("name") == row.get("like")), None)
            if "like" in row and base is None:
                place = f"criterion {index} ({row.get('name', 'without a name')})"
                raise self._refused(place, f"no row before it is called '{row['like']}'.")
            own = {field: value for field, value in row.items() if field != "like"}
            found.append({**(base or {}), **own} if "like" in row else own)
        return found

    def _row(self, index: int, row: dict[str, Any]) -> CriterionRow:
        place = self._checked_row(index, row)
        own = _RULES[row["rule"]]
        return CriterionRow(
            criterion=Criterion(
                row["page"], row["name"], row["asks"], row.get("marks", 1), row["question"]
            ),
            rule=row["rule"],
            lists={name: self._lines(place, row, name) for name in _LISTS if name in row},
            about=self._stems(place, row, "about") if "about" in row else None,
            nudge=row["nudge"],
            worked=row["worked"],
            note=row.get("note", ""),
            reads_like=row.get("reads_like", ""),
            **{field: row[name] for name, field in own.items() if name in row},
        )

    def _choices(
        self, quantities: set[str]
    ) -> Generator[None, None, dict[str, tuple[Choice, ...]]]:
        sets: dict[str, tuple[Choice, ...]] = {}
        for index, row in enumerate(self._rows("choice"), 1):
            place = self._checked_choice(index, row)
            words, never = (
                {part: self._lines(place, row[name], part) for part in row.get(name, {})}
                for name in ("words", "never")
            )
            choice = Choice(
                row["set"],
                row["name"],
                words,
                never,
                {part: self._stems(place, row["about"], part) for part in row.get("about", {})},
                self._slopes(place, row, quantities),
                bool(row.get("outweighs", False)),
            )
            sets[choice.set_name] = (*sets.get(choice.set_name, ()), choice)
            yield
        return sets

    def _slopes(self, place: str, row: Mapping[str, Any], quantities: set[str]) -> Slopes | None:
        if "slopes" not in row:
            return None
        found = row["slopes"]
        known = isinstance(found, dict) and set(found) <= quantities
        if not known or any(found[name] not in (-1, 0, 1) for name in found):
            said = "slopes must give quantities of [quantities] the slope 1, -1 or 0."
            raise self._refused(place, said)
        return dict(found)

    def _quantities(self) -> tuple[Quantity, ...]:
        section = self._table("quantities")
        if len(section) < 2:
            raise Refused(
                f"{self.file}, [quantities] names {len(section)} quantities: give the one that is "
                "measured first, and at least one that changes it."
            )
        return tuple(self._quantity(name) for name in section)

    def _quantity(self, name: str) -> Quantity:
        row = self._table(f"quantities.{name}")
        if row.get("slope") not in (-1, 0, 1, None):
            raise self._refused(f"[quantities.{name}]", "slope must be 1, -1 or 0.")
        empty: dict[str, list[str]] = {field: [] for field in ("names", "more", "less")}
        lists = (self._lines(f"[{name}]", {**empty, **row}, field) for field in empty)
        grows, event, own = (bool(row.get(flag, False)) for flag in ("grows", "event", "own"))
        return Quantity(name, row.get("slope"), grows, event, own, *lists)

    def _nudges(self) -> dict[str, str]:
        nudges = self._words("nudges")
        for name in _NUDGES:
            if not nudges.get(name, "").strip():
                raise self._refused("[nudges]", f"{name} is missing; write its sentence.")
        return nudges

    def _vocabulary(self, language: Mapping[str, Any]) -> Vocabulary:
        # The words of hazards would draw slips of other words to themselves, "riscs" to "risk".
        asked = (one.words for one in ANSWERED.values() if one.page != HAZARDS)
        wanted = self.known | {s for words in asked for s in stems(words)}
        lists = {
            name: self._texts("[language]", language, name)
            for name in ("ordinary", "everywhere", "turning")
        }
        return Vocabulary.of(wanted, self._words("language.slips"), lists)

    def _need_texts(self, place: str, row: Mapping[str, Any], fields: Iterable[str]) -> None:
        for field in fields:
            if not isinstance(row.get(field), str) or not row[field].strip():
                raise self._refused(place, f"{field} is missing or no text; write it.")

    def _checked_row(self, index: int, row: Mapping[str, Any]) -> str:
        """Check one [[criterion]] by itself, and give the name that a refusal calls it by."""
        place = f"criterion {index} ({row.get('name', 'without a name')})"
        self._need_texts(place, row, _FIELDS)
        rule = row["rule"]
        if rule not in _RULES:
            listed = ", ".join(f"'{name}'" for name in _RULES)
            raise self._refused(place, f"no rule is called '{rule}'; use {listed}.")
        self._need_texts(place, row, (field for field in _RULES[rule] if field not in _OPTIONAL))
        if "beside" in row:
            self._need_texts(place, row, ("note",))
        known = {*_FIELDS, *_LISTS, *_RULES[rule], "marks", "note", "about", "reads_like"}
        if "reads_like" in row and row["reads_like"] not in own_classifier().kinds:
            kinds = ", ".join(own_classifier().kinds)
            raise self._refused(place, f"reads_like must be one of {kinds}; or leave it out.")
        for field in row:
            if field not in known:
                raise self._refused(place, f"'{field}' means nothing under the rule '{rule}'.")
        marks = row.get("marks", 1)
        if not isinstance(marks, int) or isinstance(marks, bool) or marks < 0:
            raise self._refused(place, "marks must be a whole number, 0 or more.")
        if rule == "says" and not row.get("says"):
            raise self._refused(place, "says is missing, so nothing could earn the mark.")
        return place

    def _checked_choice(self, index: int, row: Mapping[str, Any]) -> str:
        """Check one [[choice]] by itself, and give the name that a refusal calls it by."""
        place = f"choice {index} ({row.get('name', 'without a name')})"
        self._need_texts(place, row, ("set", "name"))
        if not isinstance(row.get("words"), dict) or not row["words"]:
            raise self._refused(place, 'words is missing; write words.part = ["..."].')
        for name in ("never", "about"):
            if not isinstance(row.get(name, {}), dict):
                raise self._refused(place, f'{name} must be written {name}.part = ["..."].')
        for field in row:
            if field not in {"set", "name", "words", "never", "about", "slopes", "outweighs"}:
                raise self._refused(place, f"'{field}' means nothing in a choice.")
        return place

    def _check_names(
        self, rows: Iterable[CriterionRow], choices: Mapping[str, tuple[Choice, ...]]
    ) -> None:
        """Check what rows say of each other: names once only, sets and questions that exist."""
        seen: set[str] = set()
        before: set[tuple[str, str]] = set()
        for index, row in enumerate(rows, 1):
            name, page = row.criterion.name, row.criterion.page
            place = f"criterion {index} ({name})"
            if name in seen:
                raise self._refused(place, "another row has the same name; give it its own.")
            seen.add(name)
            parts = {part for choice in choices.get(row.choices, ()) for part in choice.words}
            if row.choices and row.part not in parts:
                said = f"no choice of the set '{row.choices}' has words.{row.part}."
                raise self._refused(place, said)
            for other in (row.fits, row.differs_from):
                if other and (page, other) not in before:
                    said = f"no row before it marks the question '{other}'."
                    raise self._refused(place, said)
            before.add((page, row.question))
