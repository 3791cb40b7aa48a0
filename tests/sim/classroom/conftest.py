"""A class of 30 collected once, and small classes to spoil."""

import pytest

from physics.ball import USUAL_BALL
from sim.classroom.class_key import Handout, handed_in, new_key
from sim.classroom.examine import Examiner
from sim.commands.collect import collected
from sim.procedure import Procedure
from tests.sim.classroom.pupils import hand_in

CLUB = tuple(f"Larkmere Pupil {number:02}" for number in range(1, 31))


def club_key(seed, names=CLUB, kind="records"):
    return new_key(Handout(kind, USUAL_BALL, Procedure()), names, seed)


@pytest.fixture(scope="session")
def make_key():
    return club_key


@pytest.fixture(scope="session")
def key():
    return club_key(1)


@pytest.fixture(scope="session")
def club(key, tmp_path_factory):
    """The folder of the whole class, and what was planted."""
    folder = tmp_path_factory.mktemp("club") / "in"
    return folder, hand_in(key, folder)


@pytest.fixture(scope="session")
def club_work(key, club):
    return collected(Examiner(key), handed_in(club[0]))
