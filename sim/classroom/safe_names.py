"""File names made of people's names: safe on every system, and never two alike.

A number comes first, so no file is called after a device (CON, NUL), begins with a dot or equals
another, not even where capitals or accents are not told apart. The name follows for the reader's
sake, without a sign that any file system reads as more than a letter.
"""

from __future__ import annotations

import re
import unicodedata

LONGEST_BYTES = 100
"""Of the name's part. With suffix and lock, a file name stays below the 255 bytes of the common
file systems."""

_KEPT = {"L", "M", "N"}
"""Unicode's letters, marks and numbers; everything else becomes a space or a hyphen."""


def file_stem(number: int, digits: int, name: str) -> str:
    """The beginning of a student's file names: "07 Ada Larkmere"."""
    return f"{number:0{digits}} {_plain_name(name)}".strip()


def digits_for(students: int) -> int:
    """How many digits the numbers of a class have, at least two."""
    return max(2, len(str(students)))


def number_in(file_name: str) -> int | None:
    """The student's number at the beginning of a file name, or None."""
    found = re.match(r"([0-9]{1,9})(?![0-9])", file_name)
    return int(found[1]) if found else None


def _plain_name(name: str) -> str:
    text = unicodedata.normalize("NFC", name)
    letters = [letter if _is_kept(letter) else _instead(letter) for letter in text]
    words = " ".join("".join(letters).split())
    return _cut(words).strip(" -")


def _is_kept(letter: str) -> bool:
    return unicodedata.category(letter)[0] in _KEPT


def _instead(letter: str) -> str:
    if unicodedata.category(letter) == "Cf":  # joiners, and marks that turn the text around
        return ""
    return "-" if unicodedata.category(letter) == "Pd" else " "


def _cut(text: str) -> str:
    return text.encode()[:LONGEST_BYTES].decode(errors="ignore")
