"""How much the first acts of a page have to do, in a process that has loaded its bridge alone."""

import json
import sys

from analysis.marking.questions import ANSWERED, METHOD
from sim.bench.model.after import PAGES
from sim.bench.model.pages.book_page import FEEDBACK, field_name
from sim.bench.model.pages.first_and_last import BEGIN
from sim.page.bridge import PageBench, rehearsal


def calls():
    """How many functions each piece of the rehearsal calls; and then each act of a practical.

    The acts are those of a first drop and a first feedback: in one practical, and in the next.
    """
    return [list(_pieces()), [_calls(seed) for seed in ("5", "6")]]


def ahead():
    """How many functions a press for feedback calls, the answers marked before it, and not."""
    list(rehearsal())
    return [_feedback(marks_ahead) for marks_ahead in (True, False)]


def _feedback(marks_ahead):
    bench, calls = PageBench(), 0
    bench.begin("practical.rebound.jsonl", "5")
    bench.do(json.dumps({"press": BEGIN}))
    asked = [one for one in ANSWERED.values() if one.page == METHOD and isinstance(one.right, str)]
    bench.do(json.dumps({"page": tuple(PAGES).index(METHOD) + 1}))
    button = field_name(METHOD, FEEDBACK)
    for one in asked:
        bench.do(json.dumps({"edit": field_name(METHOD, one.name), "text": one.right}))
        bench.do(json.dumps({"focus": button}))
        if marks_ahead:
            bench.ahead()

    def counted(_frame, event, _function):
        nonlocal calls
        calls += event in ("call", "c_call")

    sys.setprofile(counted)
    told = bench.do(json.dumps({"press": button}))
    sys.setprofile(None)
    return [calls, told]


def _pieces():
    pieces, going = rehearsal(), True
    while going:
        calls = 0

        def counted(_frame, event, _function):
            nonlocal calls
            calls += event in ("call", "c_call")

        sys.setprofile(counted)
        going = next(pieces, "none left") is None
        sys.setprofile(None)
        yield calls


def _calls(seed):
    bench, counts = PageBench(), []

    def counted(_frame, event, _function):
        counts[-1] += event in ("call", "c_call")

    bench.begin("practical.rebound.jsonl", seed)
    bench.do(json.dumps({"press": BEGIN}))
    page, question = next(iter(ANSWERED))
    answered = {"edit": field_name(page, question), "text": "Hot water scalds."}
    asked = [{"page": 1}, answered, {"press": field_name(page, FEEDBACK)}]
    for wish in [*({"key": key} for key in "hccbtr "), *asked]:
        counts.append(0)
        sys.setprofile(counted)
        bench.do(json.dumps(wish))
        bench.tick(0.25)
        sys.setprofile(None)
    return counts
