"""Sentences to finish, for those who struggle to write: a frame with gaps, and words for each gap.

A finished sentence is an answer like any other, a plain text. It is known again by its words, and
is right or wrong by the words that were chosen, so that nothing of it is left to be judged. Every
gap has wrong words among the right ones, and whether a word is right depends on the others.
"""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import NamedTuple

OPEN = "…"
"""Stands in a gap for which no words are chosen yet."""


class SentencePiece(NamedTuple):
    """One gap with the words about it: what stands before it, what may fill it, what is behind."""

    before: str
    choices: tuple[str, ...]
    behind: str

    def filled(self, chosen: str) -> str:
        """The piece with words in its gap; "" leaves it open."""
        text = f"{self.before} {chosen or OPEN}".strip()
        return text + (self.behind if self.behind in ".,;" else f" {self.behind}")


@dataclass(frozen=True, eq=False)
class SentenceFrame:
    """A sentence in pieces, and which choices of words make it true.

    `right` has the choices, one for each gap, and by the names of criteria.toml what the sentence
    is then about: a reason has to be about the variable that was named before. It is empty where a
    question has one answer.
    """

    pieces: tuple[SentencePiece, ...]
    right: Mapping[tuple[str, ...], frozenset[str]]

    def sentence(self, chosen: Sequence[str]) -> str:
        """The sentence with these words in its gaps; "" leaves one open."""
        return " ".join(
            piece.filled(words) for piece, words in zip(self.pieces, chosen, strict=True)
        )

    def chosen(self, text: str) -> tuple[str, ...] | None:
        """The words in the gaps of a text, "" for an open one; None where it is another sentence.

        Capitals, spaces, and what stands at the end of the sentence make no difference.
        """
        found = self._sentence.fullmatch(" ".join(text.split()).rstrip(" ."))
        if found is None:
            return None
        return tuple(
            next((choice for choice in piece.choices if choice.lower() == words.lower()), "")
            for piece, words in zip(self.pieces, found.groups(), strict=True)
        )

    def is_open(self, text: str) -> bool:
        """Whether a text is this sentence with a gap in it."""
        return "" in (self.chosen(text) or ())

    @cached_property
    def _sentence(self) -> re.Pattern[str]:
        gap = "\0"
        parts = re.escape(self.sentence([gap] * len(self.pieces)).rstrip(".")).split(re.escape(gap))
        ways = ["|".join(map(re.escape, (*piece.choices, OPEN))) for piece in self.pieces]
        middle = (f"({way}){part}" for way, part in zip(ways, parts[1:], strict=True))
        return re.compile(parts[0] + "".join(middle), re.IGNORECASE)


def _frame(
    *pieces: tuple[str, tuple[str, ...], str], right: Mapping[tuple[str, ...], tuple[str, ...]]
) -> SentenceFrame:
    return SentenceFrame(
        tuple(SentencePiece(*piece) for piece in pieces),
        {chosen: frozenset(about) for chosen, about in right.items()},
    )


_MORE, _LESS = ("more", "higher"), ("less", "lower")
_IN, _OUT = "time in the water", "time out of the water"

REASON = _frame(
    ("If the", ("rebound height", "floor", "drop height", "water", _OUT, _IN), ""),
    ("were", ("shorter", "softer", "greater", "harder", "smaller", "longer"), ","),
    ("the ball would leave the floor with", ("just as much", "less", "more"), "energy"),
    ("and rebound", ("lower", "just as high", "higher"), "."),
    right={
        ("drop height", "greater", *_MORE): ("drop height",),
        ("drop height", "smaller", *_LESS): ("drop height",),
        ("floor", "harder", *_MORE): ("the surface",),
        ("floor", "softer", *_LESS): ("the surface",),
        (_OUT, "shorter", *_MORE): (_OUT,),
        (_OUT, "longer", *_LESS): (_OUT,),
        (_IN, "longer", *_MORE): (_IN,),
        (_IN, "shorter", *_LESS): (_IN,),
    },
)
"""Of warm water: where it is colder than the room the times would act the other way."""

RESOLUTION = _frame(
    (
        "The ball is at the top of its bounce",
        ("for several seconds", "for a moment only", "until it is picked up"),
        ",",
    ),
    (
        "so the eye judges its height to",
        ("a few millimetres at best", "less than a tenth of a millimetre", "half a metre"),
        ";",
    ),
    (
        "further decimal places would be",
        ("nearer to the true height", "the same for everybody", "guesses"),
        ".",
    ),
    right={("for a moment only", "a few millimetres at best", "guesses"): ()},
)

_COOLED, _SLANTING = "cooled before it was dropped", "was not level with the top of the bounce"
_LOW, _HIGH, _SPREAD = "too low", "too high", "spread out"

INACCURACY = _frame(
    ("The", ("rule", "drop height", "eye", "ball", "top of the bounce"), ""),
    (
        "",
        (
            "was warmer than the water",
            _SLANTING,
            "was not quite the same each time",
            _COOLED,
            "was not upright",
            "was over too soon to judge",
        ),
        ",",
    ),
    ("so the readings were", (_HIGH, "right", _SPREAD, _LOW), "."),
    right={
        ("ball", _COOLED, _LOW): ("the ball cools",),
        ("ball", _COOLED, _SPREAD): ("the ball cools",),
        ("eye", _SLANTING, _LOW): ("parallax",),
        ("eye", _SLANTING, _HIGH): ("parallax",),
        ("eye", _SLANTING, _SPREAD): ("parallax",),
        ("rule", "was not upright", _HIGH): ("the ruler stands wrong",),
        ("drop height", "was not quite the same each time", _SPREAD): ("the drop height varies",),
        ("top of the bounce", "was over too soon to judge", _SPREAD): ("judging the top by eye",),
    },
)

IMPROVEMENT = _frame(
    (
        "I would",
        (
            "write more decimal places",
            "film the bounce and play it slowly",
            "put the ball back into the water before each drop",
            "use a heavier ball",
            "bring my eye to the level of the bounce",
            "clamp the rule and check it with a set square",
            "let the ball go from a clamp at the mark",
        ),
        ",",
    ),
    (
        "so that",
        (
            "it bounces higher",
            "the height is read straight across",
            "it always falls from the same height",
            "the graph is a straight line",
            "it is as warm as the water each time",
            "the highest point can be seen",
            "it stands upright",
        ),
        ".",
    ),
    right={
        (
            "put the ball back into the water before each drop",
            "it is as warm as the water each time",
        ): ("the ball cools", "the ball is not at the water's temperature"),
        ("bring my eye to the level of the bounce", "the height is read straight across"): (
            "parallax",
        ),
        ("film the bounce and play it slowly", "the highest point can be seen"): (
            "judging the top by eye",
        ),
        ("clamp the rule and check it with a set square", "it stands upright"): (
            "the ruler stands wrong",
        ),
        ("let the ball go from a clamp at the mark", "it always falls from the same height"): (
            "the drop height varies",
        ),
    },
)

WHERE_IT_WENT = _frame(
    ("It was", ("used up in", "transferred to", "made by"), ""),
    ("the", ("gravitational potential", "chemical", "thermal", "kinetic"), "energy store"),
    ("of the", ("water and the beaker", "ball and the floor", "rule and the clamp"), ","),
    (
        "as the ball",
        ("was held in the tongs", "was squashed and sprang back", "was about to fall"),
        ".",
    ),
    right={
        ("transferred to", "thermal", "ball and the floor", "was squashed and sprang back"): (),
    },
)
