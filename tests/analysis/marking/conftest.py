"""What every test of the marking asks: which criteria were lost."""

import pytest

from tests.analysis.marking.right_work import numeric


def _lost(work):
    """Criteria of table, graph and numbers that earned nothing, with their remarks."""
    return {one.criterion: one for one in numeric(work) if not one.earned}


@pytest.fixture(scope="session")
def lost():
    return _lost


@pytest.fixture(scope="session")
def only(lost):
    """The one remark that cost a mark, checked for being the only one and for teaching."""

    def only_one(work, criterion):
        found = lost(work)
        assert set(found) == {criterion}
        remark = found[criterion]
        assert remark.nudge
        assert remark.worked
        assert remark.worked not in remark.nudge
        return remark

    return only_one
