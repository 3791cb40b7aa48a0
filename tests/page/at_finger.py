"""A pupil with a phone, who has nothing but a finger."""

from time import time

from tests.page.at_pointer import AtPointer

PHONE_IN_HAND = {
    "viewport": {"width": 360, "height": 740},
    "device_scale_factor": 2,
    "has_touch": True,
    "is_mobile": True,
}


class AtFinger(AtPointer):
    """A finger on the screen, and a keyboard that is drawn there for whatever is written in."""

    def __init__(self, page):
        super().__init__(page)
        self.hand = page.context.new_cdp_session(page)

    def press(self, target):
        target.first.tap()

    def press_at(self, place):
        self.page.touchscreen.tap(*place)

    def touch(self, kind, ago_s, *at):
        """Goes down, moves or comes up, so long ago by the clock of the finger."""
        points = [{"x": at[0], "y": at[1]}] if at else []
        touched = {"type": kind, "touchPoints": points, "timestamp": time() - ago_s}
        self.hand.send("Input.dispatchTouchEvent", touched)

    def drag(self, start, end):
        """A second's drag that ends in rest: a finger lifted on its way flings, and its next tap
        does no more than stop that."""
        self.touch("touchStart", 1.0, *start)
        for step in range(1, 6):
            at = (a + (b - a) * step / 5 for a, b in zip(start, end, strict=True))
            self.touch("touchMove", 1.0 - 0.1 * step, *at)
        self.page.clock.run_for(600)
        self.touch("touchEnd", 0.0)

    def to_bench(self):
        """A phone shows the bench or the book."""
        self.press(self.page.get_by_role("link", name="Bench"))

    def drops(self, first):
        self.to_bench()
        super().drops(first)

    def warms(self, number):
        """In the bath, by its drawn dial: 15 degrees up each time, by the page's own scale."""
        self.to_bench()
        if not number:
            self.carry("thermometer", "dial up")
        x, y = self.place(".bath .grip", y=0.5)
        self.drag((x, y), (x + 50, y - 100))
        self.click('[data-thing="stopwatch"]')
        self.until_hastened()
        self.soaks_in_the_bath()

    def enters(self, name, text):
        field = self.page.locator(f'[data-name="{name}"]')
        field.tap()
        field.select_text()  # a phone's own "Select all"
        self.page.keyboard.insert_text(text)
