"""How much the first acts of a page have to do, in a process that has loaded its bridge alone."""

import base64
import json
import sys

from analysis.marking.questions import ANSWERED, GRAPH, QUESTIONS_OF, TABLE
from sim import actions as act
from sim.bench.model.after import PAGES
from sim.bench.model.desk import BENCH
from sim.bench.model.pages.book_page import FEEDBACK, field_name
from sim.bench.model.pages.first_and_last import BEGIN
from sim.page.bridge import PageBench, rehearsal
from sim.page.lines import begun
from sim.state import Setup, beginning
from tests.analysis.marking.right_work import right_work


def calls():
    """How many functions each piece of the rehearsal calls; and then each act of a practical.

    The acts are those of a first drop and a first feedback: in one practical, and in the next.
    """
    pieces = [calls for calls, _ in _counted_pieces(rehearsal())]
    return [pieces, [_calls(seed) for seed in ("5", "6")]]


def lifts():
    """What it calls to lift the ball out of the kept bath into the towel, after 20 s and 300 s.

    Nobody has asked before how warm the ball is in there.
    """
    warmed = (act.SetBath(333.15), act.Wait(1000.0), act.PutBallIn("bath"))
    soaked = [_opened(*warmed, act.Wait(soak_s)) for soak_s in (20.0, 300.0)]
    return [_counted(lambda one=one: one.do('{"key": "t"}'))[0] for one in soaked]


def ahead():
    """What a press for feedback on each page calls and says, the page marked before it, and not."""
    list(rehearsal())
    return [_feedback(marks_ahead) for marks_ahead in (True, False)]


def _feedback(marks_ahead):
    bench, found = _filled_in(), []
    for page in QUESTIONS_OF:
        bench.do(json.dumps({"page": tuple(PAGES).index(page) + 1}))
        if marks_ahead:
            list(bench.ahead())
        press = json.dumps({"press": field_name(page, FEEDBACK)})
        found.append(_counted(lambda press=press: bench.do(press)))
    return found


def pieces_ahead():
    """What each piece of marking ahead calls: of a page just opened, and after acts at the bench.

    And after a cell was written.
    """
    list(rehearsal())
    bench, found = _filled_in(), []
    table, graph = (tuple(PAGES).index(page) + 1 for page in (TABLE, GRAPH))
    cell = {"edit": field_name(TABLE, "1.1"), "text": "25"}
    for wishes in [{"page": graph}], [{"key": "h"}, {"key": "b"}, {"key": "t"}], [{"page": table}]:
        for wish in wishes:
            bench.do(json.dumps(wish))
        found.append([calls for calls, _ in _counted_pieces(bench.ahead())])
    bench.do(json.dumps(cell))
    bench.do(json.dumps({"focus": BENCH}))
    found.append([calls for calls, _ in _counted_pieces(bench.ahead())])
    return found


def _filled_in():
    """A page's practical whose book is filled in without a fault; no drop is done."""
    work = right_work()
    answers = {at: one.right for at, one in ANSWERED.items() if isinstance(one.right, str)}
    return _opened(
        *(act.WriteCell(*at, text) for at, text in work.cells.items()),
        *(act.WriteAnswer(*at, text) for at, text in {**answers, **work.answers}.items()),
        *(
            act.SetAxis(side, one.title, one.start, one.large_square)
            for side, one in work.graph.axes.items()
        ),
        *(act.PlotPoint(*cross) for cross in work.graph.crosses),
        act.LayLine(work.graph.line),
    )


def _opened(*acts):
    """A page's practical that goes on after some acts."""
    setup = Setup(seed=5)
    record, line = begun(setup)
    _, lines, _ = record.with_acts(beginning(setup), acts)
    bench = PageBench()
    bench.open(base64.b64encode(line + lines).decode(), "practical.rebound.jsonl")
    return bench


def _counted(does):
    """How many functions are called, and what comes of it."""
    calls = 0

    def counted(_frame, event, _function):
        nonlocal calls
        calls += event in ("call", "c_call")

    sys.setprofile(counted)
    told = does()
    sys.setprofile(None)
    return [calls, told]


def _counted_pieces(pieces):
    """What `_counted` says of every piece, the last, after which there is none, included."""
    going = True
    while going:
        calls, told = _counted(lambda: next(pieces, "none left"))
        going = told != "none left"
        yield calls, told


def _calls(seed):
    bench = PageBench()
    bench.begin("practical.rebound.jsonl", seed)
    bench.do(json.dumps({"press": BEGIN}))
    page, question = next(iter(ANSWERED))
    answered = {"edit": field_name(page, question), "text": "Hot water scalds."}
    asked = [{"page": 1}, answered, {"press": field_name(page, FEEDBACK)}]
    wishes = [json.dumps(one) for one in (*({"key": key} for key in "hccbtr "), *asked)]
    return [_counted(lambda wish=wish: (bench.do(wish), bench.tick(0.25)))[0] for wish in wishes]
