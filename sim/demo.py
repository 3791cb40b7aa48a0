"""The invented scenario that the commands use when they are told nothing else."""

from __future__ import annotations

from sim.procedure import Procedure

CLUB = "Larkmere Vale School lunchtime club"
"""An invented club at an invented school."""
DEMO_SEED = 1
DEMO_PROCEDURE = Procedure()
"""Five temperatures, five repeats, one metre, a hurried eye, the ball not put back."""
