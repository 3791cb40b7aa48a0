"""Pupils at the page's keyboard: one who sees it, and one with a screen reader."""

import re

from analysis.marking.questions import ANSWERED, GRAPH, QUESTIONS_OF, TABLE
from sim.bench.model.desk import PAPER
from sim.bench.model.pages.book_page import field_name
from tests.page.pupil import Pupil

BEFORE = """(name) => document.activeElement.compareDocumentPosition(named(name))
  === Node.DOCUMENT_POSITION_PRECEDING"""
"""Whether a field or button of the book stands before what has the focus."""


def whole_degrees(said):
    """What the thermometer shows, in the words for how things stand, to whole degrees."""
    shown = re.search(r"shows (\S+) °C", said)[1]
    return f"{float(shown):.0f}"


class AtKeyboard(Pupil):
    """Keys alone."""

    def press(self, *keys):
        for key in keys:
            self.page.keyboard.press(key)

    def begins(self):
        self.press("Enter")
        self.page.wait_for_selector("#work:visible")
        self.press("Enter")

    def warms(self, number):
        if not number:
            self.press("m")
        else:
            self.press("d", "d", "s")
            self.until_hastened()
        self.press("v", "s")
        self.until_hastened()
        self.press("F2")
        self.water = whole_degrees(self.said())
        self.press("t", "r")

    def drops(self, first):
        if not first:
            self.press("r")
        if not self.state.rough:
            self.press(*["Shift+PageDown"] * 8)
        else:
            self.press("l")
        self.press("Space")
        self.lets_it_fall()

    def writes_down(self, first, unit):
        self.press("n")
        if first:
            self.page.keyboard.type(self.water + (" C" if unit else ""))
            self.press("Enter")
        self.page.keyboard.type(self.height() + (" cm" if unit else ""))
        self.press("Enter")

    def opens(self, page):
        names = self.page.evaluate("fixed.pages")
        self.press("Escape", f"Control+{names.index(page)}")

    def goes_to(self, name):
        """By Tab to a field or button from wherever the focus is, or by Shift+Tab back to it."""
        key = "Shift+Tab" if self.page.evaluate(BEFORE, name) else "Tab"
        for _ in range(80):
            if self.page.evaluate("document.activeElement.dataset.name") == name:
                return
            self.press(key)
        raise AssertionError(f"Tab does not come to {name}")

    def enters(self, name, text):
        self.goes_to(name)
        self.page.keyboard.insert_text(text)

    def asks_for_feedback(self):
        page = self.page.evaluate("seen.page")
        self.goes_to(field_name(page, "feedback"))
        self.press("Enter")

    def moves_to(self, place):
        """The pencil's point to a place on the graph paper."""
        self.goes_to(PAPER)
        for way, forward, back in ((0, "ArrowRight", "ArrowLeft"), (1, "ArrowUp", "ArrowDown")):
            for step, held in ((5.0, "Shift+"), (0.5, ""), (0.1, "Alt+")):
                off = place[way] - self.pencil()[way]
                self.press(*[held + (forward if off > 0 else back)] * int(abs(off) / step + 1e-9))

    def pencil(self):
        return self.page.evaluate("seen.blocks.find((one) => one.kind === 'paper').point")

    def plots(self, place):
        self.moves_to(place)
        self.press("Enter")

    def lays(self, ends):
        self.goes_to(field_name(GRAPH, "line"))
        self.press("Enter")
        for end in ends:
            self.moves_to(end)
            self.press("Enter")


class AtReader(AtKeyboard):
    """By roles and names alone, as a screen reader has them, with the reading aid.

    A button is pressed as such a program presses it; on the graph paper it sends keys.
    """

    def button(self, name):
        self.page.get_by_role("button", name=name, exact=True).first.evaluate(
            "(one) => one.click()"
        )

    def hand(self, key):
        """One of the buttons of what the hands can do, by its key."""
        named = re.compile(rf" {re.escape(key)}(:|$)", re.IGNORECASE)
        self.page.get_by_role("button", name=named).first.evaluate("(one) => one.click()")

    def begins(self):
        self.button("Begin a new practical")
        self.button("The whole practical")

    def warms(self, number):
        if not self.page.get_by_role("button", name=re.compile(" A$")).count():
            self.page.get_by_text("Everything the hands can do, as buttons").click()
            self.hand("a")
        for key in ("d", "d", "s") if number else ("m",):
            self.hand(key)
        self.until_hastened()
        self.hand("v")
        self.hand("s")
        self.until_hastened()
        self.button("How things stand, in words")
        self.water = whole_degrees(self.said())
        self.hand("t")
        self.hand("r")

    def said(self):
        return self.page.get_by_role("status").last.inner_text()

    def drops(self, first):
        if not first:
            self.hand("r")
        for key in ("l",) if self.state.rough else ["Shift+Page ↓"] * 8:
            self.hand(key)
        self.hand("Space")
        self.called = re.search(r"The reader calls out: (\S+) cm\.$", self.said())[1]
        self.lets_it_fall()

    def writes_down(self, first, unit):
        self.hand("n")
        if first:
            self.fill("Water was at", self.water + (" °C" if unit else ""))
        self.fill("Rebound height", self.called + (" cm" if unit else ""))
        self.button("Write it down")

    def fill(self, name, text, number=0):
        self.page.get_by_role("textbox", name=name).nth(number).fill(text)

    def opens(self, page):
        self.button(page)

    def enters(self, name, text):
        page, what = name.split(".", 1)
        if page == TABLE:
            row, column = map(int, what.split("."))
            label = f", row {row}" if row else f"heading of column {column + 1}"
            at = column if row else 0
            self.page.get_by_role("textbox", name=re.compile(f"{label}$")).nth(at).fill(text)
        elif page == GRAPH:
            (asked,) = [one for one in QUESTIONS_OF[GRAPH] if one.name == what]
            self.page.get_by_role("textbox", name=f"{asked.words}, {asked.part}").fill(text)
        else:
            asked = ANSWERED[page, what]
            same = [one for one in QUESTIONS_OF[page] if one.words == asked.words]
            boxes = self.page.get_by_role("textbox", name=asked.words, exact=True)
            boxes.nth(same.index(asked)).fill(text)

    def asks_for_feedback(self):
        self.button("Ask for feedback")

    def moves_to(self, place):
        self.page.get_by_role("application", name="sheet of graph paper").focus()
        super().moves_to(place)

    def lays(self, ends):
        self.button("Line")
        for end in ends:
            self.moves_to(end)
            self.press("Enter")
