"""A pupil with a mouse, who reads scales from the page's pictures."""

from sim.bench.model.desk import ROUGH
from tests.page.pupil import Pupil

THREAD = """() => {
  const mark = (text) => Number(text.previousElementSibling.getAttribute("y1"));
  const end = Number(document.querySelector("#thermometer .spirit").getAttribute("y"));
  const off = (text) => Math.abs(mark(text) - end);
  const numbers = [...document.querySelectorAll("#thermometer text")];
  const [low, high] = numbers.sort((one, other) => off(one) - off(other));
  const [lower, higher] = [low, high].map((text) => Number(text.textContent));
  return lower + (higher - lower) * (end - mark(low)) / (mark(high) - mark(low));
}"""
"""What the end of the thermometer's thread shows, against the two numbers that stand nearest."""
ON_RULE = """(metres) => {
  const numbers = [...document.querySelectorAll("#wall .number")];
  const box = (text) => numbers.find((one) => one.textContent === text).getBoundingClientRect();
  const at = (text) => box(text).y + box(text).height / 2;
  return at("0") + metres * (at("100") - at("0"));
}"""
"""Where on the screen a height of the rule is."""
ON_PAPER = """([across, up]) => {
  const inner = document.querySelector("#paper svg"), high = inner.viewBox.baseVal.height;
  const at = new DOMPoint(across, high - up).matrixTransform(inner.getScreenCTM());
  return [at.x, at.y];
}"""
"""Where on the screen a place of the whole sheet of graph paper is, counted in small squares."""


class AtPointer(Pupil):
    """A mouse, and letters typed into what it was clicked on."""

    def press(self, target):
        target.first.click()

    def press_at(self, place):
        self.page.mouse.click(*place)

    def click(self, selector):
        self.press(self.page.locator(selector))

    def place(self, selector, x=0.5, y=0.3):
        """A point of something on the screen, in shares of its width and height."""
        target = self.page.locator(selector).first
        target.scroll_into_view_if_needed()
        box = target.bounding_box()
        return box["x"] + x * box["width"], box["y"] + y * box["height"]

    def drag(self, start, end):
        """Take something up, carry it in a few moves without hurry, and put it down."""
        self.page.mouse.move(*start)
        self.page.mouse.down()
        self.page.clock.run_for(600)
        self.page.mouse.move(*end, steps=5)
        self.page.mouse.up()

    def carry(self, thing, onto):
        self.drag(self.place(f'[data-thing="{thing}"]'), self.place(f'[data-thing="{onto}"]'))

    def begins(self):
        self.press(self.page.get_by_text("Begin a new practical"))
        self.press(self.page.get_by_text("The whole practical", exact=True))

    def warms(self, number):
        if number:
            self.click('[data-thing="dial up"]')
            self.click('[data-thing="dial up"]')
            self.click('[data-thing="stopwatch"]')
            self.until_hastened()
        else:
            self.carry("thermometer", "dial up")
        self.carry("kettle", "beaker")
        self.soaks_in_the_bath()

    def soaks_in_the_bath(self):
        """The ball in the bath as long as planned, its water read; out, dried, and to the rule."""
        self.carry("ball", "dial down")
        self.click('[data-thing="stopwatch"]')
        self.until_hastened()
        self.water = self.on_thermometer()
        self.carry("ball", "towel")
        self.to_rule()

    def on_thermometer(self):
        """What the end of the thread shows against the two numbers that stand nearest to it."""
        return f"{self.page.evaluate(THREAD):.0f}"

    def to_rule(self):
        self.drag(self.place('[data-thing="ball"]'), self.place("#wall"))

    def drops(self, first):
        if not first:
            self.to_rule()
        eye = self.place('[data-thing="eye"] .lid')
        share = self.state.rough[-1].height_m if self.state.rough else 0.35
        self.drag(eye, (eye[0], self.up_the_rule(share)))
        self.press_at(self.place('[data-thing="held ball"] .ball'))
        self.lets_it_fall()

    def up_the_rule(self, metres):
        """Where on the screen a height of the rule is."""
        return self.page.evaluate(ON_RULE, metres)

    def writes_down(self, first, unit):
        self.opens(ROUGH)
        if first:
            self.enters("rough.temperature", self.water + (" C" if unit else ""))
        self.enters("rough.height", self.height() + (" cm" if unit else ""))
        self.press(self.page.get_by_text("Write it down", exact=True))

    def opens(self, page):
        self.press(self.page.locator("#pages").get_by_text(page, exact=True))

    def enters(self, name, text):
        self.page.locator(f'[data-name="{name}"]').click(click_count=3)
        self.page.keyboard.insert_text(text)

    def asks_for_feedback(self):
        self.press(self.page.get_by_text("Ask for feedback"))

    def on_paper(self, place):
        """Where on the screen a place of the graph paper is, counted in small squares."""
        return self.page.evaluate(ON_PAPER, [*place])

    def whole_paper(self):
        """The whole sheet comes into sight at once."""
        self.page.locator("#paper").scroll_into_view_if_needed()
        box = self.page.locator("#paper").bounding_box()
        said = self.page.locator("#said").bounding_box()
        assert box["y"] >= 0
        assert box["y"] + box["height"] <= said["y"] + 1.0, (box, said, self.said())

    def plots(self, place):
        self.whole_paper()
        self.press_at(self.on_paper(place))

    def lays(self, ends):
        self.press(self.page.locator("#page").get_by_text("Line", exact=True))
        self.whole_paper()
        self.drag(*map(self.on_paper, ends))
