"""The page's bench in this machine's Python: what the script does with it, done without one."""

import base64
import json

from sim.page.bridge import PageBench


class Page:
    """A page's bench, and all lines that it gave to be kept."""

    def __init__(self):
        self.bench = PageBench()
        self.answer, self.kept = {}, ""

    def begin(self, name, seed):
        self.take(self.bench.begin(name, str(seed)))
        return self

    def open(self, line, name):
        self.take(self.bench.open(base64.b64encode(line.encode()).decode(), name))
        return self

    def take(self, answer):
        self.answer = json.loads(answer)
        self.kept += self.answer.get("lines", "")
        return self.answer

    def do(self, **wish):
        return self.take(self.bench.do(json.dumps(wish)))

    def wait(self, frames_s=(1 / 60,) * 120):
        for frame_s in frames_s:
            self.take(self.bench.tick(frame_s))
