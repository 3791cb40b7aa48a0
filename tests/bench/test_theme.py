import pytest

from sim.bench.ui.theme import MARK_CONTRAST, PAIRS, RIBBONS, TEXT_CONTRAST, contrast, mixed


@pytest.mark.parametrize("pair", PAIRS, ids=lambda pair: pair.name)
def test_every_ink_can_be_read_on_its_ground(pair):
    assert contrast(pair.ink, pair.ground) >= pair.least


def test_pairs_ask_for_what_the_guidelines_ask_for():
    assert {pair.least for pair in PAIRS} == {TEXT_CONTRAST, MARK_CONTRAST} == {4.5, 3.0}


def test_pairs_are_named_once():
    assert len({pair.name for pair in PAIRS}) == len(PAIRS)


def test_contrast_spans_one_to_twenty_one():
    assert contrast((0, 0, 0), (255, 255, 255)) == pytest.approx(21.0)
    assert contrast((90, 90, 90), (90, 90, 90)) == pytest.approx(1.0)


def test_contrast_of_the_lightest_grey_allowed_on_white():
    # #767676 is the lightest grey that carries text on white: 4.54 to 1 (from memory).
    assert contrast((0x76, 0x76, 0x76), (255, 255, 255)) == pytest.approx(4.54, abs=0.005)


def test_contrast_does_not_ask_which_colour_is_the_ink():
    assert contrast((10, 60, 200), (240, 230, 90)) == contrast((240, 230, 90), (10, 60, 200))


def test_mixing_goes_from_one_colour_to_the_other():
    assert mixed((0, 100, 200), (100, 200, 0), 0.0) == (0, 100, 200)
    assert mixed((0, 100, 200), (100, 200, 0), 0.5) == (50, 150, 100)
    assert mixed((0, 100, 200), (100, 200, 0), 1.0) == (100, 200, 0)


def test_ribbons_differ():
    assert len(set(RIBBONS)) == len(RIBBONS) == 8
