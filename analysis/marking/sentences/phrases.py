"""What must be said, as written in a criteria file, and finding it in an answer.

One alternative is one line of the file, such as "eye + not @judge". Its parts, split by "+", must
all stand in one sentence, in any order; split by ">", in this order. A part is a few words that
stand together (one other word may stand between), in any of their endings; "@name" stands for any
wording of that group; "not" before it wants the part negated, and without it the part must not be
negated (beside a negated part it may be, for a negation reaches the rest of its clause); "but no"
before it wants it not to stand there at all. "= words" wants the whole answer to be those words and
nothing else that counts; "^ words" wants it to begin with them. "~into word" and "~from word" want
the word to be led to by a preposition of that kind.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from enum import Enum
from functools import cached_property
from itertools import product

from analysis.marking.sentences.language import Answer, Token, stems

_GAP = 1
_LEADERS = {
    "into": frozenset({"in", "into", "to", "as"}),
    "from": frozenset({"from"}),
    "or": frozenset({"or"}),
    "with": frozenset({"with", "by"}),
    "to": frozenset({"to"}),
    "at": frozenset({"at", "by"}),
}
"""Prepositions by the word that asks for them in a line."""
_REASONS = frozenset({"because", "since"})
Stems = tuple[str, ...]
"""The stems of a wording; one that needs a preposition before it has its kind: "into~water"."""
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
        return frozenset(bare_stem(wording[0]) for wording in self.wordings)


@dataclass(frozen=True)
class Alternative:
    """One line of a criteria file: parts that must all be said."""

    parts: tuple[PhrasePart, ...]
    whole: bool = False
    first: bool = False
    ordered: bool = False

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
    """Said, but a word of it stands elsewhere the other way round."""
    weak: bool = False
    """Said, but a "not" stands in its clause, or it is only compared with."""
    reasoned: bool = False
    """Said only in a clause that gives a reason: "because eyes are better than a camera"."""


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
    for_teacher: bool = False
    """Nothing but a person can tell whether it earns the mark."""


def parsed(line: str, groups: Groups) -> Alternative:
    """Read one line. Raises ValueError, with the reason in words, for one that cannot be meant."""
    sign = line[:1] if line[:1] in {"=", "^"} else ""
    joint = ">" if ">" in line else "+"
    parts = tuple(_part(each.strip(), groups) for each in line.removeprefix(sign).split(joint))
    if (sign and len(parts) > 1) or ("+" in line and ">" in line):
        raise ValueError(f"'{line}' mixes signs: write only one of = ^ + and >")
    if all(part.absent for part in parts):
        raise ValueError(f"'{line}' says only what must not stand there")
    return Alternative(parts, whole=sign == "=", first=sign == "^", ordered=joint == ">")


def _part(text: str, groups: Groups) -> PhrasePart:
    negated, absent = text.startswith("not "), text.startswith("but no ")
    wanted = text.removeprefix("not ").removeprefix("but no ")
    if "not" in wanted.split():
        raise ValueError(f"'{text}' has 'not' inside a part; it may only begin one")
    choices, leader = [], ""
    for word in wanted.split():
        if word.startswith("~"):
            leader = _leader(word)
        else:
            choices.append(tuple(_led(leader, each) for each in _wordings(word, groups)))
            leader = ""
    if leader:
        raise ValueError(f"'{text}' ends in ~{leader}, and no word follows")
    wordings = tuple(tuple(s for each in row for s in each) for row in product(*choices))
    if not all(wordings):
        raise ValueError(f"'{text}' holds no word that counts")
    return PhrasePart(wordings, negated, absent)


def _leader(word: str) -> str:
    if word[1:] not in _LEADERS:
        raise ValueError(
            f"'{word}' is no kind of preposition; write one of ~into ~to ~from ~or ~with ~at"
        )
    return word[1:]


def _wordings(word: str, groups: Groups) -> tuple[Stems, ...]:
    """The stems of a word, or those of every wording of the group that it names."""
    if not word.startswith("@"):
        return (stems(word),)
    name = word[1:].replace("_", " ")
    if name not in groups:
        raise ValueError(f"'{word}' names no group of words")
    return groups[name]


def _led(leader: str, wording: Stems) -> Stems:
    return (f"{leader}~{wording[0]}", *wording[1:]) if leader and wording else wording


def bare_stem(wanted: str) -> str:
    """The stem of a wording's word, without the preposition that it needs."""
    return wanted.rpartition("~")[2]


def _is(token: Token, wanted: str) -> bool:
    leader, _, stem = wanted.rpartition("~")
    return token.stem == stem and (not leader or token.led_by in _LEADERS[leader])


def words_of(alternatives: Iterable[Alternative]) -> set[str]:
    """Every stem that the alternatives speak of."""
    return {
        bare_stem(s) for a in alternatives for part in a.parts for w in part.wordings for s in w
    }


def find(alternatives: Iterable[Alternative], answer: Answer) -> Finding:
    """The first alternative that is plainly said, or else said, or else denied."""
    denied = weak = Finding(HowSaid.NOT)
    there = answer.stems
    for alternative in alternatives:
        if there.isdisjoint(alternative.firsts[0]) or any(
            there.isdisjoint(each) for each in alternative.firsts[1:]
        ):
            continue
        finding = _found(alternative, answer)
        if finding.how is HowSaid.SAID and not (finding.weak or finding.reasoned):
            return finding
        if finding.how is HowSaid.SAID and weak.how is HowSaid.NOT:
            weak = finding
        if finding.how is HowSaid.TURNED and denied.how is HowSaid.NOT:
            denied = finding
    return weak if weak.how is HowSaid.SAID else denied


def occurrences(wording: Stems, answer: Answer) -> Iterator[tuple[Token, ...]]:
    """Where a wording stands: its words in order, in one clause, at most one word between."""
    for first in answer.places.get(bare_stem(wording[0]), ()):
        if _is(answer.tokens[first], wording[0]):
            tokens = _from(first, wording, answer.tokens)
            if tokens:
                yield tokens


def _from(first: int, wording: Stems, tokens: tuple[Token, ...]) -> tuple[Token, ...]:
    at, taken = first, [tokens[first]]
    for wanted in wording[1:]:
        reach = range(at + 1, min(at + 2 + _GAP, len(tokens)))
        at = next((i for i in reach if _is(tokens[i], wanted)), -1)
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
    apart = _in_order if alternative.ordered else _apart
    for sentence in sorted(sentences):
        here = [[each for each in part if each[1][0].sentence == sentence] for part in seen]
        tokens = apart([[each for agrees, each in part if agrees] for part in here])
        if tokens:
            every = [token for each in tokens for token in each]
            weak = not free and _beside_negation(tokens, answer)
            return Finding(
                HowSaid.SAID,
                _evidence(tokens, answer),
                free,
                mixed=_mixed(tokens, answer),
                weak=weak or all(token.compared for token in every),
                reasoned=all(token.opener in _REASONS for token in every),
            )
        tokens = apart([[each for _, each in part] for part in here])
        if tokens:
            denied = Finding(HowSaid.TURNED, _evidence(tokens, answer), free)
    return denied


def _beside_negation(found: Iterable[tuple[Token, ...]], answer: Answer) -> bool:
    """Whether a "not" stands later beside these: "tongs are not needed"."""
    segments = {token.segment for tokens in found for token in tokens if not token.negator}
    return any(segment in answer.negated_segments for segment in segments) and not any(
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


def _in_order(parts: list[list[tuple[Token, ...]]]) -> list[tuple[Token, ...]]:
    """The first place for each part after the one before it; nothing where one has none."""
    chosen: list[tuple[Token, ...]] = []
    for places in parts:
        after = chosen[-1][-1].end if chosen else 0
        later = [each for each in places if each[0].start >= after]
        if not later:
            return []
        chosen.append(min(later, key=lambda each: each[-1].end))
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
