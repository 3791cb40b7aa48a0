"""The questions of the exercise book, page by page: one name each, for pages and marking."""

from __future__ import annotations

METHOD, TABLE, GRAPH = "Method", "Results table", "Graph"
CONCLUSION, EVALUATION, ENERGY = "Conclusion", "Evaluation", "Energy"
HAZARDS = "Hazards"

QUESTIONS: dict[str, tuple[tuple[str, str], ...]] = {
    METHOD: (
        ("independent variable", "Which variable do you change on purpose?"),
        ("dependent variable", "Which variable do you measure because of it?"),
        ("control variable 1", "A variable that you keep the same"),
        ("reason 1", "Why it has to stay the same"),
        ("control variable 2", "Another variable that you keep the same"),
        ("reason 2", "Why it has to stay the same"),
        ("lowest temperature", "Lowest temperature, with its unit"),
        ("highest temperature", "Highest temperature, with its unit"),
        ("interval", "Interval between temperatures, with its unit"),
        ("repeats", "Number of drops at each temperature"),
    ),
    CONCLUSION: (
        ("relationship", "How does the rebound height change as the temperature rises?"),
        ("shape", "Is your line straight or curved?"),
        ("read off", "Read off your own line at the temperature named here, with its unit"),
        ("gradient", "Gradient of your line, with its unit"),
    ),
    EVALUATION: (
        ("half-range", "Half-range uncertainty at the temperature named here, with its unit"),
        ("repeatable", "Are your readings repeatable?"),
        ("repeatable reason", "What makes you say so? Use your number."),
        ("resolution", "Why would more decimal places not make a better reading by eye?"),
        ("inaccuracy 1", "Something that made the readings inaccurate"),
        ("improvement 1", "What would improve it, and how"),
        ("inaccuracy 2", "Something else that made the readings inaccurate"),
        ("improvement 2", "What would improve that, and how"),
    ),
    ENERGY: (
        ("height before", "Height of the ball before it falls, in metres"),
        ("height after", "Mean rebound height at the temperature named here, in metres"),
        ("energy before", "Gravitational potential energy before the fall, with its unit"),
        ("energy after", "Gravitational potential energy after the bounce, with its unit"),
        ("energy transferred", "Energy transferred to the surroundings, with its unit"),
        ("where it went", "Where did that energy go?"),
        ("efficiency", "Efficiency of the bounce, as a percentage"),
    ),
}
"""Each page's questions: the name that the record keeps, and the words on the page."""
