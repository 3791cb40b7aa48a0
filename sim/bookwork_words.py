"""What the scripted student of `sim.bookwork` writes in sentences."""

from __future__ import annotations

from analysis.marking.questions import ENERGY, EVALUATION, HAZARDS, METHOD

SENTENCES: dict[tuple[str, str], str] = {
    (HAZARDS, "hazard 1"): "hot water",
    (HAZARDS, "risk 1"): "it can scald a hand",
    (HAZARDS, "control 1"): "use tongs and wear eye protection",
    (HAZARDS, "hazard 2"): "water spilt on the floor",
    (HAZARDS, "risk 2"): "somebody could slip",
    (HAZARDS, "control 2"): "wipe it up at once",
    (METHOD, "independent variable"): "the temperature of the ball",
    (METHOD, "dependent variable"): "the rebound height of the ball",
    (METHOD, "control variable 1"): "the drop height",
    (METHOD, "reason 1"): "a ball dropped from higher up has more energy and rebounds higher",
    (METHOD, "control variable 2"): "the surface it lands on",
    (METHOD, "reason 2"): "a softer floor would take more energy and change the rebound height",
    (EVALUATION, "resolution"): "The eye cannot judge a moving ball to a tenth of a millimetre.",
    (EVALUATION, "inaccuracy 1"): "The ball cools down between the drops.",
    (EVALUATION, "improvement 1"): "Put the ball back into the water before each drop.",
    (EVALUATION, "inaccuracy 2"): "My eye was not level with the ball at the top of its bounce.",
    (EVALUATION, "improvement 2"): "Kneel so that the eye is at the level of the bounce.",
    (ENERGY, "where it went"): "It went into the thermal energy store of the ball and the floor.",
}
"""By page and question."""


def repeatable_words(half_range: str) -> dict[str, str]:
    """Whether the readings are repeatable, and the reason with its number."""
    return {
        "repeatable": "Yes, they are repeatable.",
        "repeatable reason": f"The half-range is only {half_range}, much smaller than the change "
        "from one temperature to the next.",
    }
