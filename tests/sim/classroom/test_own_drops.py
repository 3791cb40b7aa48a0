"""Hand-ins by own eye through `collect`: what is told of whose drops the readings are."""

from argparse import Namespace
from itertools import combinations

import numpy as np
import pytest

from physics.reading import CAMERAS, CAREFUL, HURRIED
from sim import actions as act
from sim.classroom.class_key import handed_in, key_bytes, record_name, setup_for
from sim.classroom.class_work import CHECK, COPY
from sim.classroom.examine import Examiner
from sim.commands.collect import collected, run
from sim.procedure import Procedure
from tests.sim.classroom.pupils import Practical, end_of, performed, record_bytes, with_book

NAMES = ("Ada", "Bo", "Cy", "Dee", "Eve", "Flo")


@pytest.fixture(scope="session")
def class_of_six(make_key):
    return make_key(51, NAMES)


def by_own_eye(key, number, observer=CAREFUL, heights_m=None):
    """A practical whose readings are noted as the pupil's own, those of the model's eye or others.

    The aid is silent: what it would have said is what the pupil reads.
    """
    done = performed(setup_for(key, number), key.names[number - 1], Procedure(observer=observer))
    lines = end_of(done).rough
    left = list(heights_m or [line.height_m for line in lines])
    acts = tuple(
        act.NoteReading(one.temperature_k, left.pop(0), decimal_places=one.decimal_places)
        if isinstance(one, act.NoteReading)
        else one
        for one in done.actions
        if not isinstance(one, act.AskReader)
    )
    return Practical(done.setup, done.label, acts)


def true_heights_m(key, number):
    return [round(line.drop.apex_m, 3) for line in end_of(by_own_eye(key, number)).rough]


def handed(key, folder, practicals):
    folder.mkdir(exist_ok=True)
    for number, practical in practicals.items():
        (folder / record_name(key, number)).write_bytes(record_bytes(with_book(practical)))
    return collected(Examiner(key), handed_in(folder))


def told(work):
    return [(one.student, one.what, one.why) for one in work.to_see if one.what in (CHECK, COPY)]


def test_pupils_who_read_themselves_by_eye_or_from_a_film_are_in_order(class_of_six, tmp_path):
    seen = (CAREFUL, HURRIED, CAMERAS[60], CAMERAS[240], CAREFUL, HURRIED)
    practicals = {n: by_own_eye(class_of_six, n, one) for n, one in enumerate(seen, start=1)}
    practicals[4] = by_own_eye(class_of_six, 4, CAMERAS[240], filmed_heights_m(class_of_six, 4))
    assert told(handed(class_of_six, tmp_path / "in", practicals)) == []


def filmed_heights_m(key, number):
    """The true heights to the millimetre, as a film shows them."""
    film = by_own_eye(key, number, CAMERAS[240])
    return [round(line.drop.apex_m, 3) for line in end_of(film).rough]


def test_pupils_who_all_read_a_film_to_whole_centimetres_are_alike_by_their_drops(
    class_of_six, tmp_path
):
    """Their readings are the true heights nearly, and like balls give like ones at every place."""
    key = class_of_six
    practicals = {
        number: by_own_eye(
            key,
            number,
            CAMERAS[240],
            [round(height_m, 2) for height_m in filmed_heights_m(key, number)],
        )
        for number in range(1, 7)
    }
    work = handed(key, tmp_path / "in", practicals)
    rows = [[one.height_cm for one in each.examined.evidence.readings] for each in work.students]
    same = [
        sum(a == b for a, b in zip(one, other, strict=True)) for one, other in combinations(rows, 2)
    ]
    assert max(same) >= 15  # as many as would be told of pupils whose drops are not known
    assert told(work) == []


def test_heights_that_are_true_thought_of_or_a_neighbours_are_told_by_number_and_name(
    class_of_six, tmp_path, capsys
):
    key, rng = class_of_six, np.random.default_rng(1)
    readers = (HURRIED, CAREFUL, CAREFUL, HURRIED, HURRIED, CAREFUL)
    practicals = {n: by_own_eye(key, n, one) for n, one in enumerate(readers, start=1)}
    practicals[2] = by_own_eye(key, 2, CAREFUL, true_heights_m(key, 2))
    coldest_m, *_, warmest_m = true_heights_m(key, 3)
    line_m = np.linspace(coldest_m - 0.04, warmest_m + 0.1, 5).round(2).repeat(5)
    practicals[3] = by_own_eye(key, 3, CAREFUL, line_m.tolist())
    theirs_m = np.array([line.height_m for line in end_of(practicals[4]).rough])
    moved_m = theirs_m + (rng.random(25).argsort() < 8) * rng.choice([-0.01, 0.01], 25)
    practicals[5] = by_own_eye(key, 5, HURRIED, moved_m.tolist())
    work = handed(key, tmp_path / "in", practicals)
    assert [(one, what) for one, what, _ in told(work)] == [
        (4, COPY),
        (5, COPY),
        (2, CHECK),
        (3, CHECK),
    ]
    (pair,) = work.copies
    assert "17 of 25 readings are the same, drop for drop, and 8 within 1 cm" in pair.why
    path = tmp_path / "key.json"
    path.write_bytes(key_bytes(key))
    options = Namespace(folder=tmp_path / "in", out=tmp_path / "out", key=path, force=False)
    options.criteria = options.corrections = None
    run(options)
    said = capsys.readouterr().out
    assert "Practical 2 (Bo): 25 readings by own eye lie nearer to the true heights" in said
    assert "Practical 3 (Cy): 25 readings fit a line of their own better" in said
    assert "Practical 4 (Dee) and 5 (Eve): 17 of 25 readings are the same" in said
    assert "cheat" not in said
    assert said.count("Worth a talk") == 3


def test_what_the_aid_or_a_camera_called_out_is_never_too_near(class_of_six, tmp_path):
    plans = [Procedure(observer=one) for one in (CAREFUL, CAMERAS[240])] * 3
    practicals = {
        number: performed(setup_for(class_of_six, number), NAMES[number - 1], plan)
        for number, plan in enumerate(plans, start=1)
    }
    work = handed(class_of_six, tmp_path / "in", practicals)
    assert told(work) == []
    assert {drop.by for one in work.students for drop in one.examined.evidence.seen} == {"aid"}
