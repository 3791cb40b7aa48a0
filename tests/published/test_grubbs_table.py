"""Grubbs' critical values, two-sided, 5 %.

Source: the table usually printed with F. E. Grubbs, "Procedures for detecting outlying observations
in samples", Technometrics 11 (1969) 1, column of 2.5 % on each side; test statistic and formula as
in the NIST/SEMATECH e-handbook of statistical methods, 1.3.5.17.1. Values from memory.
"""

import numpy as np
import pytest

from analysis.statistics.spread import critical_value, spread

TABLE = {3: 1.155, 4: 1.481, 5: 1.715, 6: 1.887, 7: 2.020, 8: 2.126, 9: 2.215, 10: 2.290}


def test_critical_values():
    found = critical_value(np.array(list(TABLE)))
    # Three decimals printed; the table's n = 3 entry is rounded up from 1.1543.
    assert found == pytest.approx(list(TABLE.values()), abs=0.001)


def test_handbook_example_of_mass_spectrometer_readings():
    # E-handbook 1.3.5.17.1: uranium readings, n = 8, G = 2.4687, two-sided critical value 2.1266
    # at 5 %, and the largest value is the outlier (from memory).
    readings = [199.31, 199.53, 200.19, 200.82, 201.92, 201.95, 202.18, 245.57]
    found = spread(readings).anomalies
    assert float(found.statistic) == pytest.approx(2.4687, abs=0.0001)
    assert float(critical_value(np.array(8))) == pytest.approx(2.1266, abs=0.0001)
    assert found.flagged.tolist() == [False] * 7 + [True]
