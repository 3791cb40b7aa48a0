"""Refusals of a criteria file, each one sentence that names the file and the row."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any, Protocol

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
