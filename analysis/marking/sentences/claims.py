"""What an answer claims of quantities: which goes up, which goes down, and whether that fits.

One engine for every question that asks for a cause. The criteria file names the quantities of the
practical and says of each which way the rebound goes when it grows (`slope`). Words for a direction
are given to the quantity beside them; the claims of a sentence are put into chains, a chain being
what is held to cause and what comes of it. In a chain every claim foretells a direction of the
rebound: "a softer floor, so less energy, so a lower bounce" foretells lower three times and agrees;
"a softer floor, so a higher bounce" does not. An effect without a cause ("it goes up") answers as
it is asked, for a cause that grows. What stands after "than" is only compared with.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, replace
from typing import Literal

from analysis.marking.sentences.language import COUNTERS, Answer, Token
from analysis.marking.sentences.phrases import (
    Alternatives,
    How,
    HowSaid,
    Outcome,
    Stems,
    bare_stem,
    find,
    occurrences,
    turned,
)

DIRECTIONS = ("up", "down", "up_beside", "down_beside", "level", "differs", "together", "apart")
_EXPLAINS = frozenset(["because", "since", "as", "when", "whenever", "if", "while", "cause"])
"""Words that open a clause which belongs to the statement before it."""
_CONCEDES = frozenset(["though", "although", "if", "even"])
"""Words that open a clause in which "the same" claims nothing: "even if the bounce is the same"."""
_FAR = 16
"""Letters from a direction to the name after it that it is no longer said of."""
_SIMPLE = 16
"""Of more words than this nothing is told to be the wrong way round: it may be misread."""

Slopes = Mapping[str, int]
Kind = Literal["name", "way", "beside", "differs", "both"]
"""A quantity's name; a direction; a direction only beside a name ("more"); a difference without
direction, only beside a name; or name and direction in one word."""


@dataclass(frozen=True)
class Quantity:
    """One quantity of the practical.

    `names` need a word of direction beside them, `more` and `less` name quantity and direction at
    once. `slope` is 1 where the rebound grows with it, -1 where it shrinks, 0 where neither, None
    where it counts only for a choice that gives it one. Of one with `grows`, the bare name already
    says that there is more of it ("it loses energy"), and of an `event` that it is there ("another
    ball"): nothing is more or less of that. One that is `own` changes only by the variables whose
    slopes name it: no higher drop makes the ball hotter.
    """

    name: str
    slope: int | None
    grows: bool
    event: bool
    own: bool
    names: Alternatives
    more: Alternatives
    less: Alternatives


@dataclass(frozen=True)
class Claim:
    """One statement about a direction: +1 up, -1 down, 0 level, None no more than a difference."""

    kind: Kind
    quantity: str = ""
    sign: int | None = 0
    wants_not: bool = False
    tokens: tuple[Token, ...] = ()
    denied: bool = False

    @property
    def first(self) -> Token:
        """Its first word."""
        return self.tokens[0]


_Entries = Mapping[str, tuple[tuple[Stems, Claim], ...]]


@dataclass(frozen=True)
class ClaimWords:
    """The quantities, the first of which is the one that is measured, and words for directions."""

    quantities: tuple[Quantity, ...]
    ways: Mapping[str, Alternatives]
    entries: _Entries

    @classmethod
    def of(cls, quantities: Iterable[Quantity], ways: Mapping[str, Alternatives]) -> ClaimWords:
        """Words made ready to be found: by the stem that each wording begins with."""
        found: dict[str, list[tuple[Stems, Claim]]] = {}
        kept = tuple(quantities)
        for claim, alternatives in _blanks(kept, ways):
            for part in (part for one in alternatives for part in one.parts):
                for wording in part.wordings:
                    blank = replace(claim, wants_not=part.negated)
                    found.setdefault(bare_stem(wording[0]), []).append((wording, blank))
        return cls(kept, ways, {stem: tuple(rows) for stem, rows in found.items()})

    @property
    def measured(self) -> str:
        """Name of the quantity that is measured."""
        return self.quantities[0].name

    @property
    def slopes(self) -> Slopes:
        """Which way the rebound goes when each of the others grows."""
        return {one.name: one.slope for one in self.quantities[1:] if one.slope is not None}


def _blanks(
    quantities: Iterable[Quantity], ways: Mapping[str, Alternatives]
) -> Iterator[tuple[Claim, Alternatives]]:
    for one in quantities:
        yield Claim("name", one.name), one.names
        yield Claim("both", one.name, 1), one.more
        yield Claim("both", one.name, -1), one.less
    signs: tuple[tuple[str, Kind, int | None], ...] = (
        ("up", "way", 1),
        ("down", "way", -1),
        ("level", "way", 0),
        ("up_beside", "beside", 1),
        ("down_beside", "beside", -1),
        ("differs", "differs", None),
    )
    for name, kind, sign in signs:
        yield Claim(kind, "", sign), ways[name]


@dataclass(frozen=True)
class ClaimChain:
    """Claims that belong together: what is held to cause, and what comes of it."""

    causes: tuple[Claim, ...] = ()
    effects: tuple[Claim, ...] = ()

    @property
    def claims(self) -> tuple[Claim, ...]:
        """All of them."""
        return self.causes + self.effects

    def foretells(self, slopes: Slopes) -> frozenset[int]:
        """The directions of the rebound that its claims foretell or tell."""
        told = [(claim, 1) for claim in self.effects]
        told += [(claim, slopes.get(claim.quantity, 0)) for claim in self.causes]
        return frozenset(
            _value(claim) * slope for claim, slope in told if slope and claim.sign is not None
        )


def _value(claim: Claim) -> int:
    """The sign; "not as high" is lower."""
    return (claim.sign or 0) * (-1 if claim.denied else 1)


def chains(
    answer: Answer, words: ClaimWords, slopes: Slopes | None = None
) -> tuple[ClaimChain, ...]:
    """The chains of an answer, under the quantities' own slopes or others."""
    known = words.slopes if slopes is None else slopes
    counted = {words.measured, "", *known}
    told = _placed(_statements(answer, words, counted), words)
    return tuple(_chained(told, words.measured, known))


def _statements(answer: Answer, words: ClaimWords, counted: set[str]) -> list[Claim]:
    """Names and directions in order; where wordings overlap, the longest counts, a name last."""
    there = (one for one in _all(answer, words) if one.quantity in counted)
    order = sorted(there, key=lambda one: one.kind == "name")
    taken: set[int] = set()
    kept = []
    for one in sorted(order, key=lambda one: -len(one.tokens)):
        places = {token.start for token in one.tokens}
        conceded = _is_level(one) and one.first.opener in _CONCEDES
        if not places & taken and not one.first.compared and not conceded:
            taken |= places
            kept.append(one)
    return sorted(kept, key=lambda one: one.first.start)


def _all(answer: Answer, words: ClaimWords) -> Iterator[Claim]:
    # In the order of the answer: a set's own is another in every process, and so would ties be.
    for stem in answer.places:
        for wording, blank in words.entries.get(stem, ()):
            for tokens in occurrences(wording, answer):
                negated = turned(tokens)
                if (negated or not blank.wants_not) and not _over_a_link(tokens, answer):
                    denied = negated and not blank.wants_not
                    # "Not the same" tells of a difference.
                    differs = denied and blank.kind == "way" and blank.sign == 0
                    sign = None if differs else blank.sign
                    yield replace(blank, tokens=tokens, sign=sign, denied=denied and not differs)


def _over_a_link(tokens: tuple[Token, ...], answer: Answer) -> bool:
    """Whether another word parts the words into two statements: "it loses heat and bounces"."""
    if len(tokens) < 2 or tokens[0].segment == tokens[-1].segment:
        return False
    inside = (one for one in answer.tokens if tokens[0].start < one.start < tokens[-1].start)
    return any(one not in tokens for one in inside)


def _placed(statements: list[Claim], words: ClaimWords) -> list[Claim]:
    """Give every bare direction its quantity: the nearest of its segment, else the measured one."""
    events = {one.name for one in words.quantities if one.event}
    grows = {one.name for one in words.quantities if one.grows} | events
    named = [one for one in statements if one.kind in ("name", "both")]
    takers = [one for one in named if one.quantity not in events]
    claimed: set[int] = set()
    lessened: set[int] = set()
    found: list[Claim] = []
    for one in (each for each in statements if each not in named):
        nearest = None if _is_level(one) else _nearest(one, takers, claimed)
        claimed |= {nearest.first.start} if nearest else set()
        if nearest and nearest.kind == "both" and one.kind == "beside":
            # "Less hot" is cold, "more heat lost" the same as heat lost.
            both_denied = one.wants_not and nearest.wants_not
            lessened |= {nearest.first.start} if one.sign == -1 and not both_denied else set()
        elif nearest or one.kind == "way":
            found.append(replace(one, quantity=nearest.quantity if nearest else words.measured))
    for one in named:
        at = one.first.start
        if one.kind == "both" or (one.quantity in grows and at not in claimed):
            sign = 1 if one.kind == "name" else one.sign or 0
            found.append(replace(one, sign=-sign if at in lessened else sign))
    return sorted(found, key=lambda one: one.first.start)


def _is_level(one: Claim) -> bool:
    """Whether it is "no difference", which is said of what is measured, whatever stands beside."""
    return one.kind == "way" and one.sign == 0


def _nearest(one: Claim, named: Iterable[Claim], claimed: set[int]) -> Claim | None:
    segment = one.first.segment
    beside = [
        other
        for other in named
        if other.first.segment == segment
        and not (one.kind == "way" and other.first.start - one.tokens[-1].end > _FAR)
    ] or [
        # "The less it bounces": the statement begins after "it".
        other
        for other in named
        if one.kind == "beside"
        and other.first.segment == segment + 1
        and other.first.clause == one.first.clause
    ]
    return min(
        beside,
        key=lambda other: (other.first.start in claimed, _letters_between(other, one)),
        default=None,
    )


def _letters_between(one: Claim, other: Claim) -> int:
    gap = max(one.first.start, other.first.start) - min(one.tokens[-1].end, other.tokens[-1].end)
    return max(gap, 0)


def _chained(told: list[Claim], measured: str, slopes: Slopes) -> Iterator[ClaimChain]:
    """Put the claims together as they come; a cause that nothing comes of ends in its own chain."""
    held = ClaimChain()
    for index, one in enumerate(told):
        if _counters(told, index):
            yield held
            held = ClaimChain()
        agrees = len((_with(held, one, measured)).foretells(slopes)) <= 1
        if one.quantity == measured:
            if held.effects and not agrees:
                yield held
                held = ClaimChain()
        elif held.effects and not agrees:
            later = any(other.quantity == measured for other in told[index + 1 :])
            if later or not (one.first.opener in _EXPLAINS or _same_clause(held, one)):
                yield held
                held = ClaimChain()
        held = _with(held, one, measured)
    if held.claims:
        yield held


def _counters(told: list[Claim], index: int) -> bool:
    """Whether "otherwise" or the like begins here, after which what was said before is not so."""
    before, here = (one.first.opener for one in (told[index - 1], told[index]))
    return index > 0 and here in COUNTERS and here != before


def _with(held: ClaimChain, one: Claim, measured: str) -> ClaimChain:
    if one.quantity == measured:
        return replace(held, effects=(*held.effects, one))
    return replace(held, causes=(*held.causes, one))


def _same_clause(held: ClaimChain, one: Claim) -> bool:
    return held.effects[-1].first.clause == one.first.clause


def is_reversed(answer: Answer, words: ClaimWords) -> bool:
    """Whether in some chain the effect is the opposite of what every cause foretells."""
    slopes = words.slopes
    for one in chains(answer, words):
        caused = replace(one, effects=()).foretells(slopes)
        told = replace(one, causes=()).foretells(slopes) - {0}
        if len(caused) == 1 and len(told) == 1 and caused != told and 0 not in caused:
            return True
    return False


def direction(answer: Answer, words: ClaimWords, slopes: Slopes) -> Outcome:
    """How the causes and the measured quantity are said to change: the same way, or another."""
    summed = _in_one_phrase(answer, words)
    held = [one for one in chains(answer, words, slopes) if one.effects]
    ways = {_way(one, slopes) for one in held} | ({summed.how} - {How.UNSAID})
    if not ways:
        return summed
    shown = evidence(answer, held) or summed.evidence
    if len(ways) > 1:
        return Outcome(How.UNSURE, shown, for_teacher=How.OTHER in ways)
    return Outcome(ways.pop(), shown)


def evidence(answer: Answer, held: Iterable[ClaimChain]) -> tuple[str, ...]:
    """The student's own words that the chains rest on."""
    shown = [claim for chain in held for claim in chain.claims]
    spans = sorted({(claim.first.start, claim.tokens[-1].end) for claim in shown})
    return tuple(answer.words(*span) for span in spans)


def _in_one_phrase(answer: Answer, words: ClaimWords) -> Outcome:
    """Phrases that tell both ways at once, such as "positive correlation"."""
    together = find(words.ways["together"], answer)
    apart = find(words.ways["apart"], answer)
    if together.how is HowSaid.SAID:
        mixed = apart.how is HowSaid.SAID or together.mixed or together.weak
        return Outcome(How.UNSURE if mixed else How.SAID, together.evidence)
    if apart.how is HowSaid.SAID or together.how is HowSaid.TURNED:
        return Outcome(How.OTHER, apart.evidence or together.evidence)
    return Outcome(How.UNSAID if apart.how is HowSaid.NOT else How.UNSURE, apart.evidence)


def _way(chain: ClaimChain, slopes: Slopes) -> How:
    effects = [one for one in chain.effects if one.sign is not None]
    causes = [one for one in chain.causes if slopes.get(one.quantity) and one.sign is not None]
    if not effects or any(one.denied and one.sign != 1 for one in effects):
        return How.UNSURE if chain.effects and (causes or effects) else How.UNSAID
    if any(one.denied or one.sign == 0 for one in causes) or _turned_about(causes, effects):
        return How.UNSURE
    signs = {_value(one) * slopes[one.quantity] for one in causes} or {1}
    told = {_value(one) for one in effects}
    if len(signs) > 1 or len(told) > 1:
        return How.UNSURE
    if signs == {-1} and any(one.denied for one in effects):
        # "Does not go up when it is cold" leaves level and down.
        return How.SAID
    return How.SAID if signs == told else How.OTHER


def _turned_about(causes: list[Claim], effects: list[Claim]) -> bool:
    """Whether the effect is given as the condition of the cause: "it is hotter when it bounces"."""
    if not causes or not effects[0].first.condition:
        return False
    cause, effect = causes[-1].first, effects[0].first
    return not cause.condition or (cause.clause == effect.clause and effect.start < cause.start)


def reason(answer: Answer, words: ClaimWords, slopes: Slopes) -> Outcome:
    """Whether an answer says how quantities that a variable acts by would change what is measured.

    `slopes` are those of the variable: with 0 a difference of it is enough, whichever way. At least
    one claim must be of these, and it needs what comes of it: the measured quantity, or a second
    one on the way to it ("from higher up it has more energy").
    """
    every = {**words.slopes, **slopes}
    foreign = {one.name for one in words.quantities if one.own} - set(slopes)
    held = chains(answer, words, every)
    ways = {_reason_of(one, slopes, every, foreign) for one in held} - {How.UNSAID}
    if not ways:
        return Outcome(How.UNSAID)
    way = ways.pop() if len(ways) == 1 else How.UNSURE
    if way is How.OTHER and len(answer.tokens) > _SIMPLE:
        way = How.UNSURE
    return Outcome(way, evidence(answer, held))


def _reason_of(chain: ClaimChain, slopes: Slopes, every: Slopes, foreign: set[str]) -> How:
    own = [one for one in chain.causes if one.quantity in slopes]
    level = any(_value(one) == 0 and one.sign is not None for one in chain.effects)
    links = {one.quantity for one in own if slopes[one.quantity]}
    if not own or not (chain.effects or len(links) > 1):
        return How.UNSAID
    foretold = chain.foretells(every)
    tangled = any(one.denied and (not slopes[one.quantity] or len(foretold) > 1) for one in own)
    if tangled or any(one.denied and one.sign is None for one in chain.effects):
        return How.UNSURE
    # "Tiles and carpet make it rebound to different heights" names both ways.
    either = bool(chain.effects) and not any(one.sign for one in chain.effects)
    differs = any(one.sign is None and not one.denied for one in chain.effects)
    if level and differs and not links:
        # "Different people get different heights for the same bounce."
        return How.SAID
    astray = any(one.quantity in foreign and _value(one) for one in chain.causes)
    if astray and len(foretold) == 1 and not level:
        return How.UNSURE
    if level or (len(foretold) > 1 and not either):
        doubtful = any(one.denied for one in chain.claims) or len(chain.claims) > 3
        return How.UNSURE if doubtful and not level else How.OTHER
    return How.SAID
