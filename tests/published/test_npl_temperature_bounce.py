"""Half the range as the uncertainty of repeated readings.

Source of the convention: National Physical Laboratory, "Temperature bounce",
https://www.npl.co.uk/measurement-at-home/temperature-bounce (a range of 3 cm is written ± 1.5 cm).
"""

from analysis.quantity.units import centimetres, plus_minus
from analysis.statistics.spread import spread


def test_range_of_3_cm_is_written_plus_or_minus_1_5_cm():
    # Six readings that span 3 cm; their values are ours, the convention is the source's.
    found = spread([0.24, 0.25, 0.25, 0.26, 0.27, 0.25], resolution_m=0.01)
    assert round(float(found.range_m), 12) == 0.03
    assert round(float(found.half_range_m), 12) == 0.015


def test_45_50_40_is_45_plus_or_minus_5():
    # Readings of the student table "Bouncing balls" at 80 °C (markedbyteachers.com).
    found = spread([0.45, 0.50, 0.40], resolution_m=0.01)
    mean, half = centimetres(found.mean_m), centimetres(found.half_range_m)
    assert plus_minus(float(mean), float(half), "cm") == "45 ± 5 cm"
