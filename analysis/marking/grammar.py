"""English grammar as the marking needs it: little words, negators, what begins a clause."""

from __future__ import annotations


def _words(text: str) -> frozenset[str]:
    return frozenset(text.split())


NEGATORS = _words(
    "not no never without neither nor none nothing nobody nowhere hardly barely cannot"
)
ANSWERS = _words("they it the my these those this i we you he she because not on there yes and but")
"""After "no", these (or a stop) show that it answers a question: "no they are not"."""
CLAUSE_WORDS = _words(
    "but because so then although though however when whenever if while whereas until unless "
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
