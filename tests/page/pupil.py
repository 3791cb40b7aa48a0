"""A pupil who does a practical in the page, however the hands go about it.

Time in the page is made to pass by the test, so that soaks and falls are waited for in a moment;
the frames that the page draws meanwhile are all drawn. What a pupil writes in the book is the
registry's own right answer, worked out from the page's record alone.
"""

from functools import reduce

from analysis.marking.questions import GRAPH, TABLE
from analysis.quantity.units import plain
from sim import actions as act
from sim.bench.model.pages.book_page import field_name
from sim.bench.model.pages.graph_page import axes_of
from sim.practical import apply
from sim.record.replay import scanned
from tests.bookwork import book_actions

LONGEST_WAIT = 400
"""So many seconds of a page's time are waited for something at the most."""
LISTENING = """() => {
  const real = bench, words = (one) => one.kind === "words";
  globalThis.calls = [];
  const heard = (name) => (...given) => {
    const told = real[name](...given), { lines, note, blocks } = JSON.parse(told);
    calls.push([name, given, lines, note?.text, blocks?.filter(words).map((one) => one.text)]);
    return told;
  };
  const names = ["open", "do", "tick", "in_memory", "turned"];
  bench = Object.fromEntries(names.map((name) => [name, heard(name)]));
  bench.begin = (name) => heard("begin")(name, "3");
}"""
"""Notes every call of the model by the page, and gives each run the same bench."""


def listened_to(page):
    """Makes the page's time the test's, and notes what the page asks of the model."""
    page.clock.install(time=0)
    page.clock.pause_at(1000)
    page.evaluate(LISTENING)


def heard(page):
    """Every call of the model by the page, and the lines and words that it answered with."""
    return [(call[0], call[1], tuple(call[2:])) for call in page.evaluate("calls")]


def practise(pupils, temperatures, repeats, pages):
    """A practical by pupils in turn: temperature by temperature, then page by page."""
    pupils[0].begins()
    for number in range(temperatures):
        pupils[number % len(pupils)].takes_readings(number, repeats)
    acts = book_actions(pupils[0].state)
    for number, page in enumerate(pages):
        pupils[number % len(pupils)].writes_page(page, acts)


class Pupil:
    """What all three do alike: wait, look, and know what to write."""

    def __init__(self, page):
        self.page = page

    @property
    def state(self):
        """Where the practical stands, by the page's own record."""
        return scanned(self.page.evaluate("record.lines").encode(), "page").record.end

    def until(self, there):
        """Let the page's time pass until a look finds something."""
        for _ in range(LONGEST_WAIT):
            if self.page.locator(there).count():
                return
            self.page.clock.run_for(1000)
        raise AssertionError(f"{there} does not come")

    def lets_it_fall(self):
        assert self.page.locator("#wall[data-falling]").count(), self.said()
        self.until("#wall:not([data-falling])")

    def until_hastened(self):
        self.until('[data-thing="stopwatch"] small:not(:has-text("times"))')

    def height(self):
        return plain(round(100.0 * self.state.last_drop.apex_m))

    def said(self):
        return self.page.inner_text("#said")

    def takes_readings(self, number, repeats):
        """So many drops at the temperature of this number."""
        self.warms(number)
        for repeat in range(repeats):
            self.drops(first=repeat == 0)
            self.writes_down(first=repeat == 0, unit=not self.state.rough)

    def writes_page(self, page, acts):
        """A page of the book, with feedback asked for twice."""
        self.opens(page)
        for one in acts:
            if page_of(one) == page:
                self.writes(one)
        if page == GRAPH:
            self.draws(acts)
        for _ in range(2):
            self.asks_for_feedback()

    def draws(self, acts):
        axes = axes_of(reduce(apply, acts, self.state))
        for one in acts:
            if isinstance(one, act.PlotPoint):
                self.plots(axes.place((one.across, one.up)))
            if isinstance(one, act.LayLine):
                self.lays(axes.places(one.points))

    def writes(self, one):
        for name, text in fields_of(one):
            self.enters(name, text)


def page_of(one):
    """The page that an act of the book belongs to."""
    if isinstance(one, act.WriteCell):
        return TABLE
    return GRAPH if isinstance(one, act.SetAxis) else getattr(one, "page", "")


def fields_of(one):
    """The fields that an act of the book is written in, and what is written there."""
    if isinstance(one, act.WriteCell):
        return [(f"{TABLE}.{one.row}.{one.column}", one.text)]
    if isinstance(one, act.SetAxis):
        parts = (
            ("title", one.title),
            ("start", plain(one.start)),
            ("large square", plain(one.large_square)),
        )
        return [(field_name(GRAPH, f"{one.axis} {part}"), text) for part, text in parts]
    return [(field_name(one.page, one.question), one.text)]
