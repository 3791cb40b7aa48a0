"""The model's side of the page: wishes come in as JSON, and what is to be shown goes out as JSON.

It runs in the browser's own Python, and the same in any other. What the person does arrives as a
small object (`sim.page.wishes`); the answer holds everything that the page shows and the lines that
are new on the record.
"""

from __future__ import annotations

import base64
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

import msgspec

from sim import actions as act
from sim.bench.model import intents as want
from sim.bench.model.after import (
    PAGES,
    Wanted,
    after,
    desk_for,
    get_ready_to_mark,
    marking_ahead,
    new_practical,
    page_of,
    passed_by,
)
from sim.bench.model.desk import BENCH, PAPER, Desk, Step
from sim.bench.model.hints import told
from sim.bench.model.in_words import what_changed
from sim.bench.model.keys import (
    BENCH_KEYS,
    PAPER_KEYS,
    WITH_A_FINGER,
    Key,
    help_texts,
    key_words,
)
from sim.bench.model.pages.first_and_last import BEGIN, START, on_card
from sim.bench.ui.blocks import with_refusal
from sim.page.lines import GOES_ON, RecordLines, begun, gone_on
from sim.page.values import (
    Values,
    bath_values,
    block_values,
    dial_values,
    falling_values,
    scene_values,
    things_values,
)
from sim.page.wishes import LETTERS, hands_of, intents_of, read_wish
from sim.record.readings_file import readings_content, readings_path
from sim.state import Book, RoughReading

LONGEST_FRAME_S = 0.25
"""A frame longer than this counts as so much: the bench slows rather than jumps."""
LONGEST_GLANCE_S = 2.0
STOOD_STILL = (
    "While this page was out of sight its time stood still: nothing was warmed, soaked or cooled."
)
ALWAYS = (want.WriteDown(),)
"""What every drop needs and no thing on the bench stands for: its button is always in sight."""


class PageBench:
    """One practical on one page."""

    def __init__(self) -> None:
        """Nothing is begun yet: `begin` or `open` comes first."""
        self._desk: Desk
        self._record: RecordLines | None = None
        self._ahead: tuple[str, Book, tuple[RoughReading, ...]] | None = None

    def begin(self, name: str, seed: str | None = None) -> str:
        """A new practical, its record to be called `name`; the answer has its opening line."""
        wanted = Wanted(folder=Path(), seed=None if seed is None else int(seed))
        desk = on_card(desk_for(new_practical(wanted)))
        self._record, line = begun(desk.state.setup)
        self._desk = replace(desk, saved_as=name)
        return self._answer(line)

    def open(self, content: str, name: str) -> str:
        """Go on with a record, given as base64; raises RecordRefused in one sentence.

        The answer's lines are all that could be believed of it.
        """
        self._record, good, record = gone_on(base64.b64decode(content), name)
        desk = replace(desk_for(record.end), saved_as=name)
        words = " ".join(record.notices)
        desk = desk.saying(words) if words else desk
        self._desk = desk if record.end.time_s else on_card(desk)
        return self._answer(good)

    def do(self, wish: str) -> str:
        """Do what the person wished for."""
        wanted, before = read_wish(wish), self._desk
        intents = intents_of(wanted, self._desk)
        every = (*hands_of(wanted, self._desk), *intents)
        lines = b"".join(self._done(after(self._desk, intent)) for intent in every)
        happened = what_changed(before, self._desk)
        remarked = self._desk.remarks is not before.remarks
        wanted_file = self._desk.asked_for
        self._desk = replace(self._desk, asked_for="")
        return self._answer(
            lines,
            handled=bool(intents),
            saves=wanted_file == "record",
            file=_readings_file(self._desk) if wanted_file == "readings" else None,
            happened=happened,
            remarked=remarked,
        )

    def ahead(self) -> Iterator[None]:
        """Mark the open page as it stands, remark by remark, while nothing else is to be done.

        Once for all that is marked: an act at the bench changes nothing of it. It ends where the
        work is taken up anew, by feedback or by what is to be marked ahead since.
        """
        page, state = self._desk.page, self._desk.state
        if self._ahead == (standing := (page, state.book, state.rough)):
            return
        self._ahead = standing
        self._desk, remarks = marking_ahead(self._desk)
        study = self._desk.study
        for _ in remarks:
            yield
            if self._desk.study is not study:
                return

    def tick(self, time_s: float) -> str:
        """Let time pass; while the ball is in the air the answer has no more than that shows.

        `waited` says that no line tells of anything but time: a saved file lacks nothing then.
        """
        step = passed_by(self._desk, min(time_s, LONGEST_FRAME_S))
        lines = self._done(step)
        falling = falling_values(self._desk)
        if falling["in_the_air"] and not lines:
            return _json({"falling": falling})
        waited = all(isinstance(one, act.Wait) for one in step.actions)
        return _json(self._seen() | {"lines": lines.decode(), "waited": waited})

    def in_memory(self, why: str) -> str:
        """Say that the browser keeps nothing, or that it does again where `why` is empty."""
        self._desk = replace(self._desk, trouble=f"{why} {GOES_ON}" if why else "")
        return self._answer(b"")

    def turned(self, by_k: float) -> str:
        """The bath as it looks with a hand on its dial, which has turned it but not let it go."""
        return _json(bath_values(self._desk.shown, by_k))

    def back(self, away_s: float) -> str:
        """The page is in sight again after so long; unless that was a glance, it is said."""
        if away_s > LONGEST_GLANCE_S:
            self._desk = self._desk.saying(STOOD_STILL)
        return self._answer(b"")

    def _done(self, step: Step) -> bytes:
        before, self._desk = self._desk, step.desk
        if not step.actions or self._record is None:
            return b""
        self._record, lines, trouble = self._record.with_acts(before.state, step.actions)
        if trouble:
            self._desk = replace(self._desk, trouble=trouble)
        return lines

    def _seen(self) -> Values:
        note = told(self._desk)
        return {
            "scene": scene_values(self._desk),
            "note": {"text": note.text, "kind": note.kind},
        }

    def _answer(
        self,
        lines: bytes,
        *,
        handled: bool = True,
        saves: bool = False,
        file: Values | None = None,
        happened: str = "",
        remarked: bool = False,
    ) -> str:
        desk, note = self._desk, told(self._desk)
        blocks = page_of(desk).blocks(desk)
        if note.kind == "refusal":
            blocks = with_refusal(blocks, desk.focus, note.text)
        return _json(
            self._seen()
            | {
                "page": desk.page,
                "focus": desk.focus,
                "blocks": [block_values(block) for block in blocks],
                "help": desk.help_open,
                "lines": lines.decode(),
                "handled": handled,
                "saves": saves,
                "file": file,
                "happened": happened,
                "remarked": remarked,
            }
        )


def _readings_file(desk: Desk) -> Values:
    """The file of readings that a window keeps beside the record: its name, and its text."""
    path = readings_path(Path(desk.saved_as))
    return {"name": path.name, "text": readings_content(desk.state, path).decode()}


REHEARSED: tuple[Values, ...] = (
    {"press": BEGIN},
    *({"key": key} for key in ("h", "c", "c", "b", "t", "r", " ", "n", "Escape", "v", "t")),
    *({"page": page} for page in range(len(PAGES) + 1)),
)
"""The first drop, a soak in the other water, and every page opened."""


def rehearsal() -> Iterator[None]:
    """A practical that nobody sees, one act at a time, so that no act is slow the first time.

    It fills the tables that every ball of the box shares, makes the browser compile what an act
    needs, and reads what the first feedback asks for. No other practical changes by it.
    """
    bench = PageBench()
    bench.begin("rehearsal", "0")
    for wish in REHEARSED:
        yield
        bench.do(_json(wish))
        yield
        bench.tick(LONGEST_FRAME_S)
    yield
    yield from get_ready_to_mark()


def contents() -> str:
    """What never changes on the page: its ribbons, the apparatus, and what the keys do."""
    return _json(
        {
            "pages": [START, *PAGES],
            "things": things_values(),
            "dial": dial_values(),
            "letters": _letters(BENCH_KEYS),
            "pencil": _letters(PAPER_KEYS),
            "help": help_texts(in_browser=True),
            "hands": WITH_A_FINGER,
            "bench": BENCH,
            "paper": PAPER,
        }
    )


def _letters(keys: tuple[Key, ...]) -> list[Values]:
    """Keys of a table as they can be pressed by a button; of several for one wish the first."""
    wishes = [key.intent for key in keys]
    return [
        {
            "key": key_words(key),
            "number": LETTERS.index(key),
            "name": key.name,
            "help": key.help,
            "finger": key.finger,
            "always": key.intent in ALWAYS,
        }
        for n, key in enumerate(keys)
        if key.intent not in wishes[:n]
    ]


def _json(values: Values) -> str:
    return msgspec.json.encode(values).decode()
