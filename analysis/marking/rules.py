"""The rules by which a row of the criteria file is read, one function each.

Which way two quantities change in an answer: "the hotter, the higher", either way round.

Words for a direction are given to the quantity beside them, then the statements are paired as
they come: a direction of the cause with one of the effect. An effect without a cause ("it goes
up") answers the question as it is asked, for a cause that rises.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass, field, replace
from enum import Enum
from functools import cached_property
from typing import Literal

from analysis.marking.criteria import Choice, Criteria, Row
from analysis.marking.language import Answer, Token
from analysis.marking.own_facts import (
    CURVED,
    STRAIGHT,
    OwnReadings,
    is_one_of,
    line_shapes,
    own_readings,
    quoted,
    spells_a_number,
)
from analysis.marking.phrases import Alternatives, Finding, Found, find, occurrences, turned
from analysis.marking.questions import EVALUATION
from analysis.marking.remark import Verdict
from analysis.marking.work import Question, Work

Side = Literal["cause", "effect", ""]
Kind = Literal["name", "way", "beside", "both"]
"""A quantity's name; a direction; a direction only beside a name ("more"); or both in one word."""


class Way(Enum):
    """How the two quantities are said to change."""

    SAME = "the same way"
    OTHER = "not the same way"
    MIXED = "more than one way, or turned about"
    UNSAID = "nothing said"


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


@dataclass(frozen=True)
class Direction:
    """What an answer says of the two, and the words that say it."""

    way: Way
    evidence: tuple[str, ...] = ()


def direction(answer: Answer, criteria: Criteria) -> Direction:
    """Say how cause and effect change together in an answer."""
    summed = _in_one_phrase(answer, criteria)
    said = [each for each in _placed(_statements(answer, criteria)) if each.kind != "name"]
    pairs = list(_pairs(said))
    ways = {_way(cause, effect) for cause, effect in pairs} | ({summed.way} - {Way.UNSAID})
    if not ways:
        return summed
    way = ways.pop() if len(ways) == 1 else Way.MIXED
    shown = [each for pair in pairs for each in pair if each]
    spans = sorted({(each.first.start, each.tokens[-1].end) for each in shown})
    words = tuple(answer.words(*span) for span in spans)
    return Direction(way, words or summed.evidence)


def _in_one_phrase(answer: Answer, criteria: Criteria) -> Direction:
    """Phrases that tell both ways at once, such as "positive correlation"."""
    together = find(criteria.directions["together"], answer)
    apart = find(criteria.directions["apart"], answer)
    if together.how is Found.SAID:
        mixed = apart.how is Found.SAID or together.mixed
        return Direction(Way.MIXED if mixed else Way.SAME, together.evidence)
    if apart.how is Found.SAID or together.how is Found.TURNED:
        return Direction(Way.OTHER, apart.evidence or together.evidence)
    return Direction(Way.UNSAID if apart.how is Found.NOT else Way.MIXED, apart.evidence)


def _statements(answer: Answer, criteria: Criteria) -> list[Said]:
    """Names and directions in order; where wordings overlap, the longest counts, a name last."""
    order = sorted(_all(answer, criteria), key=lambda each: each.kind == "name")
    found = sorted(order, key=lambda each: -len(each.tokens))
    taken: set[int] = set()
    kept = []
    for each in found:
        places = {token.start for token in each.tokens}
        if not places & taken and not each.first.compared:
            taken |= places
            kept.append(each)
    return sorted(kept, key=lambda each: each.first.start)


def _all(answer: Answer, criteria: Criteria) -> Iterator[Said]:
    sides: tuple[tuple[Side, Alternatives, Alternatives, Alternatives], ...] = (
        ("cause", criteria.cause.names, criteria.cause.more, criteria.cause.less),
        ("effect", criteria.effect.names, criteria.effect.more, criteria.effect.less),
    )
    for side, names, more, less in sides:
        yield from _found(answer, names, Said("name", (), side))
        yield from _found(answer, more, Said("both", (), side, 1))
        yield from _found(answer, less, Said("both", (), side, -1))
    for name, sign in (("up", 1), ("down", -1), ("level", 0)):
        yield from _found(answer, criteria.directions[name], Said("way", (), "", sign))
    for name, sign in (("up_beside", 1), ("down_beside", -1)):
        yield from _found(answer, criteria.directions[name], Said("beside", (), "", sign))


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


def _way(cause: Said | None, effect: Said) -> Way:
    if cause and (cause.denied or cause.sign == 0 or _turned_about(cause, effect)):
        return Way.MIXED
    rising = cause is None or cause.sign > 0
    if effect.denied:
        # "Does not go up" leaves level and down; both are wrong for a cause that rises.
        return Way.OTHER if rising and effect.sign > 0 else Way.MIXED
    same = effect.sign == (1 if rising else -1)
    return Way.SAME if same else Way.OTHER


def _turned_about(cause: Said, effect: Said) -> bool:
    """Whether the effect is given as the condition of the cause: "it is hotter when it bounces"."""
    if not effect.first.condition:
        return False
    same_clause = cause.first.clause == effect.first.clause
    return not cause.first.condition or (same_clause and effect.first.start < cause.first.start)


_OPPOSITE = {"repeatable": "not repeatable", "not repeatable": "repeatable"}
"""Judgements that the readings rule out when they bear out the other."""


class How(Enum):
    """What a rule makes of an answer."""

    SAID = "what earns the mark"
    CARRIED = "what follows from an earlier slip"
    OTHER = "something else, or the opposite"
    UNSURE = "more than one thing"
    UNSAID = "nothing that the rule knows"


@dataclass(frozen=True)
class Outcome:
    """A rule's finding; `nudge` names one of [nudges], `chosen` the choices that were named."""

    how: How
    evidence: tuple[str, ...] = ()
    nudge: str = ""
    chosen: frozenset[str] = frozenset()


@dataclass(frozen=True)
class Judged:
    """A question's verdict, kept for the questions that build on it."""

    verdict: Verdict
    evidence: tuple[str, ...] = ()
    nudge: str = ""
    chosen: frozenset[str] = frozenset()


@dataclass
class Marking:
    """One piece of work while it is marked."""

    work: Work
    criteria: Criteria
    judged: dict[Question, Judged] = field(default_factory=dict)

    @cached_property
    def own(self) -> OwnReadings:
        """What the readings say; worked out when a question first leans on them."""
        return own_readings(self.work)


def outcome(row: Row, answer: Answer, marking: Marking) -> Outcome:
    """Read an answer by its row's rule."""
    return _RULES[row.rule](row, answer, marking)


def _says(row: Row, answer: Answer, _: Marking) -> Outcome:
    return _of(find(row.lists["says"], answer))


def _of(finding: Finding) -> Outcome:
    if finding.how is Found.SAID:
        return Outcome(How.UNSURE if finding.mixed else How.SAID, finding.evidence)
    if finding.how is Found.NOT or finding.free:
        return Outcome(How.UNSAID)
    return Outcome(How.OTHER, finding.evidence)


def _same_way(_: Row, answer: Answer, marking: Marking) -> Outcome:
    found = direction(answer, marking.criteria)
    how = {
        Way.SAME: How.SAID,
        Way.OTHER: How.OTHER,
        Way.MIXED: How.UNSURE,
        Way.UNSAID: How.UNSAID,
    }[found.way]
    return Outcome(how, found.evidence)


def _choice(row: Row, answer: Answer, marking: Marking) -> Outcome:
    found = _chosen(row, answer, marking.criteria.choices[row.choices])
    earlier = marking.judged.get((row.page, row.differs_from))
    if found.how is not How.SAID or earlier is None:
        return found
    if not earlier.chosen:
        # What the criteria did not understand may be the same thing in other words.
        undecided = earlier.verdict is Verdict.TEACHER
        return replace(found, how=How.UNSURE) if undecided else found
    if found.chosen <= earlier.chosen:
        return replace(found, how=How.OTHER, nudge="same_again")
    return replace(found, how=How.UNSURE) if found.chosen & earlier.chosen else found


def _chosen(row: Row, answer: Answer, choices: Iterable[Choice]) -> Outcome:
    """The choices that an answer names; denying one, and naming none, is saying something else."""
    findings = [(choice, find(choice.words.get(row.part, ()), answer)) for choice in choices]
    said = [(choice, finding) for choice, finding in findings if finding.how is Found.SAID]
    if any(choice.outweighs for choice, _ in said):
        said = [(choice, finding) for choice, finding in said if choice.outweighs]
    denied = [each for each in findings if each[1].how is Found.TURNED and not each[1].free]
    shown = said or denied
    evidence = tuple(dict.fromkeys(words for _, finding in shown for words in finding.evidence))
    names = frozenset(choice.name for choice, _ in shown)
    if not said:
        return Outcome(How.OTHER if shown else How.UNSAID, evidence, chosen=frozenset())
    mixed = any(finding.mixed for _, finding in said)
    return Outcome(How.UNSURE if mixed else How.SAID, evidence, chosen=names)


def _fits(row: Row, answer: Answer, marking: Marking) -> Outcome:
    base = marking.judged[row.page, row.fits]
    if base.verdict is Verdict.MISSING:
        return Outcome(How.OTHER, nudge="first")
    if not base.chosen:
        return Outcome(How.UNSURE)
    choices = marking.criteria.choices[row.choices]
    own = _chosen(row, answer, (each for each in choices if each.name in base.chosen))
    if own.how is How.UNSAID:
        own = _of(find(row.lists.get("says", ()), answer))
    if own.how is How.UNSAID:
        other = _chosen(row, answer, choices)
        if other.how is How.SAID:
            return Outcome(How.OTHER, other.evidence, "does_not_fit")
        return own
    # "On carpet it would not bounce as high" is no denial, so a negation here decides nothing.
    undecided = base.verdict is Verdict.TEACHER or own.how is How.OTHER
    return replace(own, how=How.UNSURE) if undecided else own


def _line(row: Row, answer: Answer, marking: Marking) -> Outcome:
    shapes = line_shapes(marking.work.graph)
    ruled_out = frozenset({STRAIGHT, CURVED}) - shapes if shapes else frozenset()
    found = _chosen(row, answer, marking.criteria.choices[row.choices])
    return _agreeing(found, shapes, ruled_out)


def _readings(row: Row, answer: Answer, marking: Marking) -> Outcome:
    found = _chosen(row, answer, marking.criteria.choices[row.choices])
    verdict = marking.own.verdict
    if verdict == "cannot be told":
        return replace(found, how=How.UNSURE)
    return _agreeing(found, frozenset({verdict}), frozenset({_OPPOSITE.get(verdict, "")}))


def _agreeing(found: Outcome, right: frozenset[str], ruled_out: frozenset[str]) -> Outcome:
    """Hold the choice against what may be said and what is ruled out; neither is undecided."""
    if found.how is not How.SAID:
        return found
    if found.chosen <= right:
        return found
    return replace(found, how=How.OTHER if found.chosen <= ruled_out else How.UNSURE)


def _number(row: Row, answer: Answer, marking: Marking) -> Outcome:
    base = marking.judged[row.page, row.fits]
    found = _chosen(row, answer, marking.criteria.choices[row.choices])
    if found.how is not How.SAID:
        return found
    if not base.chosen or base.verdict is Verdict.TEACHER:
        return replace(found, how=How.UNSURE)
    if not found.chosen & base.chosen:
        return replace(found, how=How.OTHER, nudge="against_judgement")
    found = _readings(row, answer, marking)
    return found if found.how is not How.SAID else _with_number(found, answer, marking)


def _with_number(found: Outcome, answer: Answer, marking: Marking) -> Outcome:
    """What the reason's numbers do to it: one must be the student's own spread."""
    numbers = quoted(answer.text)
    own = marking.own
    if not numbers:
        how = How.UNSURE if spells_a_number(answer.text) else How.OTHER
        return replace(found, how=how, nudge="no_number")
    hits = [n for n in numbers if is_one_of(n, own.percentages if n.percent else own.spreads_cm)]
    written = quoted(marking.work.answers.get((EVALUATION, "half-range"), ""))
    carried = [n for n in numbers if is_one_of(n, tuple(one.value for one in written))]
    rest = [n for n in numbers if n not in hits and n not in carried]
    if not hits and not carried:
        return replace(found, how=How.OTHER, nudge="not_own_number")
    if not all(is_one_of(n, own.others_cm) for n in rest):
        return replace(found, how=How.UNSURE)
    evidence = (*found.evidence, *(n.text for n in hits or carried))
    return replace(found, how=How.SAID if hits else How.CARRIED, evidence=evidence)


_RULES: Mapping[str, Callable[[Row, Answer, Marking], Outcome]] = {
    "says": _says,
    "same way": _same_way,
    "choice": _choice,
    "fits": _fits,
    "line": _line,
    "readings": _readings,
    "number": _number,
}
