"""Which way two quantities change in an answer: "the hotter, the higher", either way round.

Words for a direction are given to the quantity beside them, then the statements are paired as
they come: a direction of the cause with one of the effect. An effect without a cause ("it goes
up") answers the question as it is asked, for a cause that rises.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, replace
from typing import Literal

from analysis.marking.sentences.language import Answer, Token
from analysis.marking.sentences.phrases import (
    Alternatives,
    How,
    HowSaid,
    Outcome,
    find,
    occurrences,
    turned,
)

Side = Literal["cause", "effect", ""]
Kind = Literal["name", "way", "beside", "both"]
"""A quantity's name; a direction; a direction only beside a name ("more"); or both in one word."""


DIRECTIONS = ("up", "down", "up_beside", "down_beside", "level", "together", "apart")


@dataclass(frozen=True)
class QuantityWords:
    """Words for a quantity, and words that name it and its direction at once."""

    names: Alternatives
    more: Alternatives
    less: Alternatives


@dataclass(frozen=True)
class DirectionWords:
    """Words for the quantity that is changed and the one that is measured, and for directions."""

    cause: QuantityWords
    effect: QuantityWords
    ways: Mapping[str, Alternatives]
    """By the names in DIRECTIONS."""


@dataclass(frozen=True)
class Said:
    """One statement about a direction: +1 up, -1 down, 0 level; `denied` by a negation."""

    kind: Kind
    tokens: tuple[Token, ...]
    side: Side = ""
    sign: int = 0
    denied: bool = False

    @property
    def first(self) -> Token:
        """Its first word."""
        return self.tokens[0]


def direction(answer: Answer, words: DirectionWords) -> Outcome:
    """How cause and effect are said to change: the same way, another, or more than one way."""
    summed = _in_one_phrase(answer, words)
    said = [each for each in _placed(_statements(answer, words)) if each.kind != "name"]
    pairs = list(_pairs(said))
    ways = {_way(cause, effect) for cause, effect in pairs} | ({summed.how} - {How.UNSAID})
    if not ways:
        return summed
    way = ways.pop() if len(ways) == 1 else How.UNSURE
    shown = [each for pair in pairs for each in pair if each]
    spans = sorted({(each.first.start, each.tokens[-1].end) for each in shown})
    evidence = tuple(answer.words(*span) for span in spans)
    return Outcome(way, evidence or summed.evidence)


def _in_one_phrase(answer: Answer, words: DirectionWords) -> Outcome:
    """Phrases that tell both ways at once, such as "positive correlation"."""
    together = find(words.ways["together"], answer)
    apart = find(words.ways["apart"], answer)
    if together.how is HowSaid.SAID:
        mixed = apart.how is HowSaid.SAID or together.mixed
        return Outcome(How.UNSURE if mixed else How.SAID, together.evidence)
    if apart.how is HowSaid.SAID or together.how is HowSaid.TURNED:
        return Outcome(How.OTHER, apart.evidence or together.evidence)
    return Outcome(How.UNSAID if apart.how is HowSaid.NOT else How.UNSURE, apart.evidence)


def _statements(answer: Answer, words: DirectionWords) -> list[Said]:
    """Names and directions in order; where wordings overlap, the longest counts, a name last."""
    order = sorted(_all(answer, words), key=lambda each: each.kind == "name")
    found = sorted(order, key=lambda each: -len(each.tokens))
    taken: set[int] = set()
    kept = []
    for each in found:
        places = {token.start for token in each.tokens}
        if not places & taken and not each.first.compared:
            taken |= places
            kept.append(each)
    return sorted(kept, key=lambda each: each.first.start)


def _all(answer: Answer, words: DirectionWords) -> Iterator[Said]:
    sides: tuple[tuple[Side, Alternatives, Alternatives, Alternatives], ...] = (
        ("cause", words.cause.names, words.cause.more, words.cause.less),
        ("effect", words.effect.names, words.effect.more, words.effect.less),
    )
    for side, names, more, less in sides:
        yield from _found(answer, names, Said("name", (), side))
        yield from _found(answer, more, Said("both", (), side, 1))
        yield from _found(answer, less, Said("both", (), side, -1))
    for name, sign in (("up", 1), ("down", -1), ("level", 0)):
        yield from _found(answer, words.ways[name], Said("way", (), "", sign))
    for name, sign in (("up_beside", 1), ("down_beside", -1)):
        yield from _found(answer, words.ways[name], Said("beside", (), "", sign))


def _found(answer: Answer, alternatives: Alternatives, blank: Said) -> Iterator[Said]:
    for part in (part for alternative in alternatives for part in alternative.parts):
        for wording in part.wordings:
            for tokens in occurrences(wording, answer):
                negated = turned(tokens)
                if negated or not part.negated:
                    yield replace(blank, tokens=tokens, denied=negated and not part.negated)


def _placed(statements: list[Said]) -> Iterator[Said]:
    """Give every bare direction its quantity: the nearest of its segment, else the effect."""
    claimed: set[int] = set()
    for each in statements:
        if each.kind in ("name", "both") or each.sign == 0:
            # "No difference" is said of what is measured, whatever stands beside it.
            yield each if each.side else replace(each, side="effect")
            continue
        beside = [
            other
            for other in statements
            if other.kind in ("name", "both") and other.first.segment == each.first.segment
        ]
        nearest = min(
            beside,
            key=lambda other: (other.first.start in claimed, _apart(other, each)),
            default=None,
        )
        if nearest is not None:
            claimed.add(nearest.first.start)
            yield replace(each, side=nearest.side)
        elif each.kind == "way":
            yield replace(each, side="effect")


def _apart(one: Said, other: Said) -> int:
    gap = max(one.first.start, other.first.start) - min(one.tokens[-1].end, other.tokens[-1].end)
    return max(gap, 0)


def _pairs(said: Iterable[Said]) -> Iterator[tuple[Said | None, Said]]:
    """Pair the statements as they come; a cause alone at the end says nothing."""
    cause: Said | None = None
    effect: Said | None = None
    for each in said:
        held = cause if each.side == "cause" else effect
        if held and (held.sign, held.denied) != (each.sign, each.denied) and effect:
            yield cause, effect
            cause = effect = None
        if each.side == "cause":
            cause = each
        else:
            effect = each
    if effect:
        yield cause, effect


def _way(cause: Said | None, effect: Said) -> How:
    if cause and (cause.denied or cause.sign == 0 or _turned_about(cause, effect)):
        return How.UNSURE
    rising = cause is None or cause.sign > 0
    if effect.denied:
        # "Does not go up" leaves level and down; both are wrong for a cause that rises.
        return How.OTHER if rising and effect.sign > 0 else How.UNSURE
    same = effect.sign == (1 if rising else -1)
    return How.SAID if same else How.OTHER


def _turned_about(cause: Said, effect: Said) -> bool:
    """Whether the effect is given as the condition of the cause: "it is hotter when it bounces"."""
    if not effect.first.condition:
        return False
    same_clause = cause.first.clause == effect.first.clause
    return not cause.first.condition or (same_clause and effect.first.start < cause.first.start)
