"""The keys of the JSON document, with their units and meanings: the source of README's table.

A dot leads into an object, [] into each item of a list. Where a unit is named the key holds
{"value", "unit"}, with null and "reason" if there is no number.
"""

_ROW = "temperatures[]."

KEYS: tuple[tuple[str, str, str], ...] = (
    ("format", "", "number of this layout; it rises when a key changes its meaning"),
    ("source", "", "name of the readings file"),
    ("drop_height", "cm", "height the ball was dropped from"),
    ("resolution", "cm", "step that the rebound heights were read to"),
    ("students_pooled", "", "how many students' readings are pooled at one temperature, at most"),
    (_ROW + "temperature", "°C", "temperature of one set of repeats"),
    (_ROW + "readings", "cm", "list of the rebound heights by repeat, null for a missing one"),
    (_ROW + "n", "", "how many readings there are"),
    (_ROW + "mean", "cm", "mean rebound height"),
    (_ROW + "smallest", "cm", "smallest reading"),
    (_ROW + "largest", "cm", "largest reading"),
    (_ROW + "range", "cm", "largest less smallest"),
    (_ROW + "half_range", "cm", "half the range: the uncertainty as taught in school"),
    (_ROW + "uncertainty", "cm", "the half-range, but never less than half the resolution"),
    (_ROW + "percentage_uncertainty", "%", "100 x uncertainty / mean"),
    (_ROW + "standard_deviation", "cm", "sample standard deviation (divisor n - 1)"),
    (_ROW + "standard_uncertainty", "cm", "standard deviation / square root of n"),
    (_ROW + "anomalous_repeats", "", "repeats that Grubbs' test flags at 5 % (still counted)"),
    (_ROW + "mean_without_anomaly", "cm", "mean without the flagged reading, else the mean"),
    (_ROW + "drift.slope", "cm per repeat", "change from one repeat to the next, least squares"),
    (_ROW + "drift.uncertainty", "cm per repeat", "standard uncertainty of that slope"),
    (_ROW + "drift.p", "1", "p value of no drift"),
    (_ROW + "drift.suggests", "", "cooling, rising, nothing or cannot be told"),
    (_ROW + "energy_after", "J", "potential energy at the mean rebound height"),
    (_ROW + "energy_transferred", "J", "energy transferred to the surroundings"),
    (_ROW + "energy_kept", "%", "energy after / energy before"),
    (_ROW + "restitution", "1", "coefficient of restitution, square root of height / drop height"),
    ("drift.slope", "cm per repeat", "one common slope for all temperatures"),
    ("drift.uncertainty", "cm per repeat", "standard uncertainty of that slope"),
    ("drift.p", "1", "p value of no drift"),
    ("drift.suggests", "", "cooling, rising, nothing or cannot be told"),
    ("trend.sentence", "", "the conclusion in words"),
    ("trend.gradient", "cm per °C", "gradient of the straight line of best fit through the means"),
    ("trend.gradient_standard_uncertainty", "cm per °C", "standard uncertainty of the gradient"),
    ("trend.gradient_p", "1", "p value of no change with temperature"),
    ("trend.intercept", "cm", "height of the line at 0 °C"),
    ("trend.intercept_standard_uncertainty", "cm", "standard uncertainty of the intercept"),
    ("trend.intercept_p", "1", "p value of 0 cm at 0 °C"),
    ("trend.correlation", "1", "Pearson's r between temperature and mean height"),
    ("trend.r_squared", "1", "share of the means' variance that the line accounts for"),
    ("trend.residual_standard_deviation", "cm", "of the means about the line (divisor n - 2)"),
    ("trend.steepest_gradient", "cm per °C", "steepest straight line through all the bars"),
    ("trend.shallowest_gradient", "cm per °C", "shallowest straight line through all the bars"),
    ("trend.gradient_uncertainty_from_lines", "cm per °C", "half the difference of these two"),
    (
        "straightness.shape",
        "",
        "straight, curves upwards, curves downwards, scattered or cannot be told",
    ),
    ("straightness.test", "", "lack of fit (with repeats) or squared term (without)"),
    ("straightness.f", "1", "F of that test"),
    ("straightness.p", "1", "p value of that test"),
    ("straightness.curvature", "cm per °C²", "coefficient of a squared term"),
    ("straightness.curvature_standard_uncertainty", "cm per °C²", "its standard uncertainty"),
    (
        "repeatability.verdict",
        "",
        "repeatable, partly repeatable, not repeatable or cannot be told",
    ),
    ("repeatability.neighbours", "", "pairs of neighbouring temperatures that could be judged"),
    ("repeatability.neighbours_apart", "", "of these, pairs whose bars do not overlap"),
    ("repeatability.largest_percentage_uncertainty", "%", "largest of the table"),
    ("energy.mass", "g", "mass of the ball"),
    ("energy.mass_assumed", "", "true where no mass was given and 24 g is taken"),
    ("energy.gravitational_field_strength", "N/kg", "g that the weight is worked with"),
    ("energy.weight", "N", "weight of the ball"),
    ("energy.energy_before", "J", "potential energy at the drop height"),
    ("cannot_say", "", "list of sentences: what could not be said, and why"),
    ("notices", "", "list of sentences: what was noticed or mended while reading"),
    ("files", "", "list of the files that were written"),
)


def markdown_table() -> str:
    """Write the keys as a Markdown table."""
    lines = ["| key | unit | meaning |", "|---|---|---|"]
    lines += [f"| `{key}` | {unit or '–'} | {meaning} |" for key, unit, meaning in KEYS]
    return "\n".join(lines) + "\n"
