"""A student's sentence as plain word stems: spelling, endings, clauses and negation.

Nothing here knows what is asked. A text becomes tokens that keep their place in it, so that the
words that earned a mark can be shown as they were written. Stems are those of the Snowball English
stemmer; slips of spelling are mended by edit distance (RapidFuzz), but only to words that the
criteria know, only when one word is nearest, and never from a word that is itself ordinary. The
lists of little words, negators and words that begin a clause are English grammar as far as the
marking needs it.
"""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from functools import cached_property, lru_cache

import snowballstemmer
from rapidfuzz import process
from rapidfuzz.distance import OSA


def _words(text: str) -> frozenset[str]:
    return frozenset(text.split())


NEGATORS = _words(
    "not no never without neither nor none nothing nobody nowhere hardly barely cannot"
)
ANSWERS = _words("they it the my these those this i we you he she because not on there yes and but")
"""After "no", these (or a stop) show that it answers a question: "no they are not"."""
CLAUSE_WORDS = _words(
    "but because since so then although though however when whenever if while whereas until unless "
    "otherwise"
)
SEGMENT_WORDS = _words(
    "and it they with cause causes caused causing make makes made making mean means give gives "
    "lead leads result results"
)
"""Words that begin a new statement about a quantity, but do not end what "not" reaches."""
CONDITIONS = _words("as when whenever if while")
COMPARED = _words(
    "high low much far well big good hot warm cold cool long large small close quick fast"
)
FILLERS = _words(
    "a an the of very really quite just that this these those there is are was were be been being "
    "am it its they them their my your our his her i we you he she me us do does did done would "
    "could should can will may shall might has have had to in into at for by with from "
    "and or as which who what if when while because than s t re ve ll d m c"
)
_TELLING = _words(
    "to into in from at for by with and or as which who what if when while because than s t re ve "
    "ll d m c"
)
IDLE = FILLERS - _TELLING
"""Fillers whose coming and going changes nothing for anybody who judges an answer by eye."""
PREPOSITIONS = _words("in into to as from by at with for or")
"""Little words of which it is kept that they led to the next word that counts."""
IMPERATIVES = _words(
    "keep use wear put make stay stand wipe mop walk hold leave let place tell get ask call sweep "
    "clean move tie catch dry"
)
"""After "and" these are told to be done, whatever must not be done before it."""
RUN_ON = _words("just only actually instead really")
"""After "it", these begin a new clause where no stop stands: "it did not vanish it just moved"."""
COUNTERS = frozenset({"otherwise", "else"})
"""Words after which what was said before is not so; "else" only where a subject follows."""
LINKS = frozenset({"=", "->", "→"})
"""Signs that stand for "gives" or "means"."""
MODALS = _words("will would could can might may must should")
AMOUNTS = _words("double doubled doubles treble trebled trebles triple tripled triples twice half")
"""After "than" these are no other thing that is compared with: "it more than doubled"."""
SUPPOSED = _words("thought expected predicted prediction supposed hypothesis")
"""What follows these, up to "but", was not seen: "I thought it would go down"."""
SUBJECTS = _words("it they you we i he she")
_OPENED = SUBJECTS | {"the", "a", "my", "our", "this", "there"}
"""Words that a clause goes on with."""
LITTLE_WORDS = (
    FILLERS
    | CLAUSE_WORDS
    | _words("each every more less then up down out not no about roughly around per extra")
)
"""A text without any of these may be a heap of key words."""
IN_PLACE_OF = {"instead": "of", "rather": "than"}
"""With the word that has to follow, these negate what comes after and nothing before."""

IRREGULAR = {
    **dict.fromkeys(("fell", "fallen"), "fall"),
    **dict.fromkeys(("rose", "risen"), "rise"),
    **dict.fromkeys(("went", "gone", "goes"), "go"),
    **dict.fromkeys(("lost", "losing"), "lose"),
    **dict.fromkeys(("grew", "grown"), "grow"),
    **dict.fromkeys(("shrank", "shrunk"), "shrink"),
    **dict.fromkeys(("spilt", "spillage"), "spill"),
    **dict.fromkeys(("saw", "seen"), "see"),
    **dict.fromkeys(("broke", "broken"), "break"),
    **dict.fromkeys(("slid", "slidden"), "slide"),
    "burnt": "burn",
    **dict.fromkeys(("got", "gotten"), "get"),
    "became": "become",
    **dict.fromkeys(("took", "taken"), "take"),
    "kept": "keep",
    "held": "hold",
    **dict.fromkeys(("wore", "worn"), "wear"),
    **dict.fromkeys(("dried", "drier"), "dry"),
    "feet": "foot",
    "stood": "stand",
    **dict.fromkeys(("threw", "thrown"), "throw"),
    "knelt": "kneel",
    **dict.fromkeys(("meter", "meters"), "metre"),
}
KEPT_WHOLE = frozenset({"repeatable", "unrepeatable", "hardly", "barely"})
"""Words that mean something else than the stem they would share ("repeated", "hard", "bare")."""

_WORDS = re.compile(r"[a-z]+(?:'[a-z]+)?|[0-9]+(?:[.,][0-9]+)?|->|[.,;:!?()–—=→]|%|°")
_MOST_SEEN = 50_000
"""Spellings that are remembered; nobody's class needs more."""
_STOPS = frozenset(".;!?")
_SHORTENED = re.compile(r"(is|are|was|were|do|does|did|ca|wo|would|could|should|has|have|had)n'?t")
_STEMMER = snowballstemmer.stemmer("english")


@dataclass(frozen=True, slots=True)
class Token:
    """One word that counts: its stem, where it stands, and whether a negation reaches it."""

    stem: str
    start: int
    end: int
    negated: bool
    sentence: int
    clause: int
    segment: int
    negator: bool = False
    condition: bool = False
    """It stands in a clause that began with "as", "when" or "if"."""
    compared: bool = False
    """It stands after "than", or was only thought."""
    opener: str = ""
    """The word that began its clause, such as "because"."""
    led_by: str = ""
    """The last preposition between the word before it and this one."""


@dataclass(frozen=True)
class Answer:
    """A text, read.

    `tangled`: two negations in one clause, or one of a word that turns the sense round again ("not
    hard"), which nobody should decide by rule.
    """

    text: str
    tokens: tuple[Token, ...]
    tangled: bool = False
    bare: bool = False
    """It is no more than a heap or a list of key words."""
    asking: bool = False
    """A question mark stands in it."""
    places: Mapping[str, tuple[int, ...]] = field(default_factory=dict)
    """Stem to the places of its tokens."""
    negated_segments: frozenset[int] = frozenset()
    """Segments in which a negation stands."""
    everywhere: frozenset[str] = frozenset()
    """Stems of words, such as "ball", that stand in most answers whatever is said of them."""

    @cached_property
    def stems(self) -> frozenset[str]:
        """The stems that stand in it."""
        return frozenset(self.places)

    @property
    def negated(self) -> bool:
        """Whether a negation reaches any word of it."""
        return any(token.negated for token in self.tokens)

    def words(self, start: int, end: int) -> str:
        """The student's own words from one offset of the text to another."""
        return self.text[start:end]


@lru_cache(maxsize=20_000)
def stem(word: str) -> str:
    """The stem of one small-letter word; irregular forms go to their own verb."""
    return word if word in KEPT_WHOLE else str(_STEMMER.stemWord(IRREGULAR.get(word, word)))


@lru_cache(maxsize=20_000)
def stems(phrase: str) -> tuple[str, ...]:
    """The stems of a phrase's words that count, in order."""
    found = (word for word in _WORDS.findall(_plain(phrase)) if word[0].isalnum())
    return tuple(stem(word) for word in found if word not in FILLERS)


_ENDINGS = re.compile(r"'(s|re|ve|ll|d|m)\b")
_PIECES = re.compile(r"[0-9]+(?:[.,][0-9]+)?|[^\W\d_]+|[-−](?=[0-9])|[^\s\w.,;:!()\[\]\"'“”–—−-]")
_SHORTENED_WORD = re.compile(rf"\b(?:{_SHORTENED.pattern}|cannot)\b")


def wording(text: str, vocabulary: Vocabulary) -> tuple[str, ...]:
    """An answer without what changes nothing: texts of one wording are one answer to a reader.

    Case, spelling, endings and idle words go. Order, negations, prepositions, numbers, question
    marks and signs stay, and so do letters of any script.
    """
    plain = _SHORTENED_WORD.sub("not", _ENDINGS.sub("", text.translate(_APOSTROPHES).lower()))
    pieces = (one for one in _PIECES.findall(plain) if one not in IDLE)
    return tuple(vocabulary.mended(one) if one.isascii() else one for one in pieces)


@dataclass(frozen=True)
class Vocabulary:
    """The stems that slips may be mended to, and the words that spelling leaves alone."""

    wanted: frozenset[str]
    spared: frozenset[str]
    slips: Mapping[str, str]
    everywhere: frozenset[str] = frozenset()
    turning: frozenset[str] = frozenset()
    _seen: dict[str, str] = field(default_factory=dict, compare=False, repr=False)

    @classmethod
    def of(
        cls, wanted: Iterable[str], slips: Mapping[str, str], lists: Mapping[str, Iterable[str]]
    ) -> Vocabulary:
        """Of the stems of the criteria, usual slips, and lists of words by their names.

        `slips` maps a slip, as written, to the word that is meant. Of the lists, `ordinary` words
        are right as they stand, `everywhere` contradict nothing when they stand there once with
        "not" and once without, `turning` turn the sense round again when negated.
        """
        grammar = NEGATORS | ANSWERS | CLAUSE_WORDS | SEGMENT_WORDS | FILLERS | COMPARED
        stemmed = {name: frozenset(map(stem, words)) for name, words in lists.items()}
        return cls(
            wanted=frozenset(wanted),
            spared=stemmed["ordinary"] | frozenset(map(stem, grammar)),
            slips=dict(slips),
            everywhere=stemmed["everywhere"],
            turning=stemmed["turning"],
        )

    def mended(self, word: str) -> str:
        """The word's stem, mended where one wanted stem is nearest; unmended otherwise."""
        if word not in self._seen:
            if len(self._seen) > _MOST_SEEN:
                self._seen.clear()
            self._seen[word] = self._mend(self.slips.get(word, word))
        return self._seen[word]

    def _mend(self, word: str) -> str:
        found = stem(word)
        if found in self.wanted or found in self.spared or len(word) < 4 or word[0].isdigit():
            return found
        near = process.extract(
            found,
            [each for each in self.wanted if each[0] == found[0] and len(each) > 3],
            scorer=OSA.distance,
            score_cutoff=1 if len(word) < 8 else 2,
            limit=None,
        )
        best = [str(each) for each, distance, _ in near if distance == near[0][1]]
        if len(best) > 1:
            begun = [each for each in best if found.startswith(each)]
            best = begun or [each for each in best if each in self.everywhere]
        return best[0] if len(best) == 1 else found


def read(text: str, vocabulary: Vocabulary) -> Answer:
    """Read a text: tokens that count, with clause, sentence and negation. Any text is read."""
    reader = _Reader(vocabulary)
    plain = _plain(text)
    pieces = [(m.group(), m.start(), m.end()) for m in _WORDS.finditer(plain)]
    for index, piece in enumerate(pieces):
        following = pieces[index + 1][0] if index + 1 < len(pieces) else "."
        reader.take(piece, following)
    places: dict[str, list[int]] = {}
    for index, token in enumerate(reader.tokens):
        places.setdefault(token.stem, []).append(index)
    kept = {each: tuple(where) for each, where in places.items()}
    asking = "?" in plain
    again = any(token.negated and token.stem in vocabulary.turning for token in reader.tokens)
    return Answer(
        text=text,
        tokens=tuple(reader.tokens),
        tangled=reader.tangled or again,
        bare=not any(map(_is_little, plain.split())) or _is_list(plain),
        asking=asking,
        places=kept,
        negated_segments=frozenset(reader.negated_segments),
        everywhere=vocabulary.everywhere,
    )


def _is_list(plain: str) -> bool:
    """Whether it is a list of key words: four or more scraps of one or two words."""
    scraps = [scrap.split() for scrap in re.split(r"[,;/]", plain)]
    return len(scraps) > 3 and all(len(scrap) < 3 for scrap in scraps)


def _is_little(word: str) -> bool:
    return word in LITTLE_WORDS or word in LINKS


def _plain(text: str) -> str:
    """Small letters and plain apostrophes, letter for letter, so that places stay the same."""
    same = text.translate(_LOOKALIKES)
    if same.isascii():
        return same.lower()
    folded = (unicodedata.normalize("NFKD", letter)[:1].lower()[:1] for letter in same)
    return "".join(letter or " " for letter in folded)


_APOSTROPHES = str.maketrans({"’": "'", "‘": "'", "`": "'", "´": "'"})
_LOOKALIKES = {**_APOSTROPHES, **str.maketrans({"-": " ", "‑": " "})}


class _Reader:
    """Walks over the words once, keeping the clause and what has been negated in it."""

    def __init__(self, vocabulary: Vocabulary) -> None:
        self.vocabulary = vocabulary
        self.tokens: list[Token] = []
        self.tangled = False
        self.sentence = self.clause = self.segment = self.negations = 0
        self.negated_segments: set[int] = set()
        self.condition = self.compared = self.likened = False
        self.replacing = self.joined = False
        self.opener = self.led_by = ""

    def take(self, piece: tuple[str, int, int], following: str) -> None:
        word, start, end = piece
        if not word[0].isalnum():
            self._stop(word)
            return
        spelled = "not" if _SHORTENED.fullmatch(word) else self.vocabulary.mended(word)
        self._turn(word, spelled, following)
        negator = self._negates(spelled, following)
        if negator:
            if spelled in IN_PLACE_OF or (self.negations and self.joined):
                self._new_clause()
                self.replacing = spelled in IN_PLACE_OF
            self._negate()
        elif word in FILLERS or spelled in FILLERS:
            self.led_by = word if word in PREPOSITIONS else self.led_by
            return
        negated = self.negations > 0 and not negator
        self.tokens.append(
            Token(
                spelled,
                start,
                end,
                negated,
                self.sentence,
                self.clause,
                self.segment,
                negator=negator,
                condition=self.condition,
                compared=self.compared,
                opener=self.opener,
                led_by=self.led_by,
            )
        )
        self.led_by = ""
        if spelled == "no" and not negator:
            self._new_clause()

    def _negates(self, spelled: str, following: str) -> bool:
        if spelled == "not" and following == "only":
            return False
        if spelled == "no" and (following in ANSWERS or not following[0].isalnum()):
            return False
        if IN_PLACE_OF.get(spelled) == following:
            return True
        return spelled in _NEGATOR_STEMS

    def _negate(self) -> None:
        self.negated_segments.add(self.segment)
        self.negations += 1
        self.tangled = self.tangled or self.negations > 1

    def _stop(self, mark: str) -> None:
        if mark in "%°":
            return
        self.led_by = ""
        if mark in LINKS:
            self.segment += 1
            return
        self.sentence += mark in _STOPS
        self.compared = False
        self._new_clause()

    def _new_clause(self) -> None:
        self.clause += 1
        self.segment += 1
        self.negations = 0
        self.condition = self.likened = self.replacing = self.joined = False
        self.opener = ""

    def _turn(self, word: str, spelled: str, following: str) -> None:
        """Begin a clause or a segment where this word does."""
        begins = (word == "than" and following not in AMOUNTS) or word in SUPPOSED
        self.compared = (self.compared and word not in {"and", "but", "so"}) or begins
        if word == "as" and self.likened:
            self.compared, self.likened = True, False
            return
        self.likened = self.likened or (word in {"as", "so"} and following in COMPARED)
        self.joined = self.joined or word == "and"
        if (
            (word == "it" and following in RUN_ON)
            or (word == "and" and following in IMPERATIVES)
            or (self.replacing and word in SUBJECTS)
        ) or self._answers_condition(word, following):
            self._new_clause()
        elif (word in CLAUSE_WORDS and not (word == "so" and following in COMPARED)) or (
            (word == "as" and self._opens(following)) or (word == "else" and following in _OPENED)
        ):
            self._new_clause()
            self.condition = word in CONDITIONS
            self.opener = word
        elif {word, spelled} & SEGMENT_WORDS or (word == "the" and self._compares(following)):
            self.segment += 1

    def _answers_condition(self, word: str, following: str) -> bool:
        """Whether the main clause begins here: "if it is not in for long it will not get hot"."""
        said = self.tokens and self.tokens[-1].clause == self.clause
        modal = following in MODALS or bool(_SHORTENED.fullmatch(following))
        return bool(said) and self.opener in CONDITIONS and word in SUBJECTS and modal

    def _opens(self, following: str) -> bool:
        """Whether "as" begins a clause: not in "as high as", nor in "not lost as heat"."""
        whole = following in _OPENED
        return following not in COMPARED and (whole or not self.negations)

    def _compares(self, following: str) -> bool:
        return self.vocabulary.mended(following).endswith("er") or following in {"more", "less"}


_NEGATOR_STEMS = frozenset(stem(word) for word in NEGATORS)
