"""What must be said, as written in a criteria file, and finding it in an answer.

One alternative is one line of the file, such as "eye + not @judge". Its parts, split by "+", must
all stand in one sentence, in any order. A part is a few words that stand together (one other word
may stand between), in any of their endings; "@name" stands for any wording of that group; "not"
before it wants the part negated, and without it the part must not be negated (beside a negated
part it may be, for a negation reaches the rest of its clause); "but no" before it wants it not to
stand there at all. "= words" wants the whole answer to be those words and nothing else that
counts; "^ words" wants it to begin with them.

Which way two quantities change is told by more than one line: "the hotter, the higher", either way
round. Words for a direction are given to the quantity beside them, then the statements are paired
as they come: a direction of the cause with one of the effect. An effect without a cause ("it goes
up") answers the question as it is asked, for a cause that rises.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, replace
from enum import Enum
from functools import cached_property
from itertools import product
from typing import Literal

from analysis.marking.sentences.language import Answer, Token, stems

_GAP = 1
Stems = tuple[str, ...]
Groups = Mapping[str, tuple[Stems, ...]]


class HowSaid(Enum):
    """How an alternative stands in an answer."""

    SAID = "said"
    TURNED = "said the other way round"
    """All its parts stand there, but a negation turns one of them."""
    NOT = "not said"


@dataclass(frozen=True)
class PhrasePart:
    """Some wordings, one of which must stand in the sentence, negated or not; none if `absent`."""

    wordings: tuple[Stems, ...]
    negated: bool = False
    absent: bool = False

    @cached_property
    def firsts(self) -> frozenset[str]:
        """The stems that its wordings begin with: none in the answer, nothing to look for."""
        return frozenset(wording[0] for wording in self.wordings)


@dataclass(frozen=True)
class Alternative:
    """One line of a criteria file: parts that must all be said."""

    parts: tuple[PhrasePart, ...]
    whole: bool = False
    first: bool = False

    @cached_property
    def wanted(self) -> tuple[PhrasePart, ...]:
        """The parts that must stand there."""
        return tuple(part for part in self.parts if not part.absent)

    @cached_property
    def firsts(self) -> tuple[frozenset[str], ...]:
        """For each of these the stems that it may begin with: a quick look before a search."""
        return tuple(part.firsts for part in self.wanted)


Alternatives = tuple[Alternative, ...]


@dataclass(frozen=True)
class Finding:
    """What of a list of alternatives was found, and the student's words that show it."""

    how: HowSaid
    evidence: tuple[str, ...] = ()
    free: bool = False
    """Its alternative wants a negation; without one it may be said of something else."""
    mixed: bool = False
    """Said, but a "not" stands in its clause, or a word of it elsewhere the other way round."""


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


def parsed(line: str, groups: Groups) -> Alternative:
    """Read one line. Raises ValueError, with the reason in words, for one that cannot be meant."""
    sign = line[:1] if line[:1] in {"=", "^"} else ""
    parts = tuple(_part(each.strip(), groups) for each in line.removeprefix(sign).split("+"))
    if sign and len(parts) > 1:
        raise ValueError(f"'{line}' mixes '{sign}' and '+'")
    if all(part.absent for part in parts):
        raise ValueError(f"'{line}' says only what must not stand there")
    return Alternative(parts, whole=sign == "=", first=sign == "^")


def _part(text: str, groups: Groups) -> PhrasePart:
    negated, absent = text.startswith("not "), text.startswith("but no ")
    wanted = text.removeprefix("not ").removeprefix("but no ")
    choices: list[tuple[Stems, ...]] = []
    for word in wanted.split():
        if not word.startswith("@"):
            choices.append((stems(word),))
        elif word[1:].replace("_", " ") in groups:
            choices.append(groups[word[1:].replace("_", " ")])
        else:
            raise ValueError(f"'{word}' names no group of words")
    if "not" in wanted.split():
        raise ValueError(f"'{text}' has 'not' inside a part; it may only begin one")
    wordings = tuple(tuple(s for each in row for s in each) for row in product(*choices))
    if not all(wordings):
        raise ValueError(f"'{text}' holds no word that counts")
    return PhrasePart(wordings, negated, absent)


def words_of(alternatives: Iterable[Alternative]) -> set[str]:
    """Every stem that the alternatives speak of."""
    return {s for a in alternatives for part in a.parts for w in part.wordings for s in w}


def find(alternatives: Iterable[Alternative], answer: Answer) -> Finding:
    """The first alternative that is said; failing that, the first that is said turned round."""
    denied = Finding(HowSaid.NOT)
    there = answer.stems
    for alternative in alternatives:
        if there.isdisjoint(alternative.firsts[0]) or any(
            there.isdisjoint(each) for each in alternative.firsts[1:]
        ):
            continue
        finding = _found(alternative, answer)
        if finding.how is HowSaid.SAID:
            return finding
        if finding.how is HowSaid.TURNED and denied.how is HowSaid.NOT:
            denied = finding
    return denied


def occurrences(wording: Stems, answer: Answer) -> Iterator[tuple[Token, ...]]:
    """Where a wording stands: its words in order, in one clause, at most one word between."""
    for first in answer.places.get(wording[0], ()):
        tokens = _from(first, wording, answer.tokens)
        if tokens:
            yield tokens


def _from(first: int, wording: Stems, tokens: tuple[Token, ...]) -> tuple[Token, ...]:
    at, taken = first, [tokens[first]]
    for wanted in wording[1:]:
        reach = range(at + 1, min(at + 2 + _GAP, len(tokens)))
        at = next((i for i in reach if tokens[i].stem == wanted), -1)
        if at < 0 or tokens[at].clause != taken[0].clause:
            return ()
        taken.append(tokens[at])
    return tuple(taken)


def _found(alternative: Alternative, answer: Answer) -> Finding:
    if alternative.whole:
        return _whole(alternative.parts[0], answer)
    if any(next(_standing(part, answer), None) for part in alternative.parts if part.absent):
        return Finding(HowSaid.NOT)
    free = any(part.negated for part in alternative.parts)
    seen = [_seen(part, answer, free and not part.negated) for part in alternative.wanted]
    if alternative.first:
        seen = [[each for each in part if each[1][0] is answer.tokens[0]] for part in seen]
    if not all(seen):
        return Finding(HowSaid.NOT)
    sentences = set.intersection(*({t[0].sentence for _, t in each} for each in seen))
    denied = Finding(HowSaid.NOT)
    for sentence in sorted(sentences):
        here = [[each for each in part if each[1][0].sentence == sentence] for part in seen]
        tokens = _apart([[each for agrees, each in part if agrees] for part in here])
        if tokens:
            mixed = _mixed(tokens, answer) or (not free and _beside_negation(tokens, answer))
            return Finding(HowSaid.SAID, _evidence(tokens, answer), free, mixed)
        tokens = _apart([[each for _, each in part] for part in here])
        if tokens:
            denied = Finding(HowSaid.TURNED, _evidence(tokens, answer), free)
    return denied


def _beside_negation(found: Iterable[tuple[Token, ...]], answer: Answer) -> bool:
    """Whether a "not" stands later in a clause of these: "tongs are not needed"."""
    clauses = {token.clause for tokens in found for token in tokens if not token.negator}
    return any(clause in answer.negated_clauses for clause in clauses) and not any(
        token.negator for tokens in found for token in tokens
    )


def _mixed(found: Iterable[tuple[Token, ...]], answer: Answer) -> bool:
    """Whether a word of these stands elsewhere in the answer with and without a negation."""
    return any(
        answer.tokens[place].negated is not token.negated
        for tokens in found
        for token in tokens
        if token.stem not in answer.everywhere
        for place in answer.places[token.stem]
    )


def _apart(parts: list[list[tuple[Token, ...]]]) -> list[tuple[Token, ...]]:
    """One place for each part, no word serving two of them; nothing where a part finds none."""
    taken: set[int] = set()
    chosen = []
    for places in parts:
        free = (each for each in places if not taken & {token.start for token in each})
        place = next(free, None)
        if place is None:
            return []
        taken |= {token.start for token in place}
        chosen.append(place)
    return chosen


def _seen(part: PhrasePart, answer: Answer, free: bool) -> list[tuple[bool, tuple[Token, ...]]]:
    """Where the part stands, and whether it is negated as it should be, or free to be."""
    return [(free or turned(tokens) == part.negated, tokens) for tokens in _standing(part, answer)]


def _standing(part: PhrasePart, answer: Answer) -> Iterator[tuple[Token, ...]]:
    return (tokens for wording in part.wordings for tokens in occurrences(wording, answer))


def turned(tokens: Iterable[Token]) -> bool:
    """Whether a negation reaches the words from outside: "no change" denies nothing by itself."""
    return any(token.negated for token in tokens) and not any(token.negator for token in tokens)


def _whole(part: PhrasePart, answer: Answer) -> Finding:
    every = tuple(token.stem for token in answer.tokens)
    if every in part.wordings and not part.negated:
        return Finding(HowSaid.SAID, (answer.text.strip(),))
    if tuple(token.stem for token in answer.tokens if not token.negator) not in part.wordings:
        return Finding(HowSaid.NOT)
    how = HowSaid.SAID if answer.negated == part.negated else HowSaid.TURNED
    return Finding(how, (answer.text.strip(),))


def _evidence(found: Iterable[tuple[Token, ...]], answer: Answer) -> tuple[str, ...]:
    spans = sorted({(tokens[0].start, tokens[-1].end) for tokens in found})
    return tuple(answer.words(*span) for span in spans)


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
        yield from _said_there(answer, names, Said("name", (), side))
        yield from _said_there(answer, more, Said("both", (), side, 1))
        yield from _said_there(answer, less, Said("both", (), side, -1))
    for name, sign in (("up", 1), ("down", -1), ("level", 0)):
        yield from _said_there(answer, words.ways[name], Said("way", (), "", sign))
    for name, sign in (("up_beside", 1), ("down_beside", -1)):
        yield from _said_there(answer, words.ways[name], Said("beside", (), "", sign))


def _said_there(answer: Answer, alternatives: Alternatives, blank: Said) -> Iterator[Said]:
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
            key=lambda other: (other.first.start in claimed, _words_between(other, each)),
            default=None,
        )
        if nearest is not None:
            claimed.add(nearest.first.start)
            yield replace(each, side=nearest.side)
        elif each.kind == "way":
            yield replace(each, side="effect")


def _words_between(one: Said, other: Said) -> int:
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
