import pytest

from analysis.marking.sentences.claims import direction
from analysis.marking.sentences.criteria import load
from analysis.marking.sentences.language import Vocabulary, read, stem, stems, wording
from analysis.marking.sentences.phrases import How, HowSaid, find, parsed

LISTS = {"ordinary": ["head", "slower"], "everywhere": ["ball"], "turning": ["hard"]}
KNOWN = stems("temperature height increase decrease heat lower higher cool up eye see millimetre")
VOCABULARY = Vocabulary.of(KNOWN, {"hight": "height"}, LISTS)
GROUPS = {"judge": (("see",), ("tell",)), "very fine": (("millimetr",),)}


def negated(text):
    return {token.stem for token in read(text, VOCABULARY).tokens if token.negated}


def finding(line, text):
    return find((parsed(line, GROUPS),), read(text, VOCABULARY))


def way(text):
    criteria = load()
    words = criteria.claims
    return direction(read(text, criteria.vocabulary), words, words.slopes).how


@pytest.mark.parametrize(
    ("written", "meant"),
    [
        ("temprature", "temperature"),
        ("tempereture", "temperature"),
        ("hight", "height"),
        ("incresing", "increase"),
        ("HEAT", "heat"),
    ],
)
def test_slips_of_spelling_are_mended(written, meant):
    assert [t.stem for t in read(written, VOCABULARY).tokens] == [stem(meant)]


@pytest.mark.parametrize("written", ["head", "slower", "hea", "encrease", "xyzzy"])
def test_ordinary_short_and_far_words_are_left_alone(written):
    known = {stem(word) for word in KNOWN}
    assert {t.stem for t in read(written, VOCABULARY).tokens} & known == set()


def test_a_word_as_near_to_two_others_is_left_alone():
    two = Vocabulary.of(("cart", "card"), {}, LISTS)
    assert two.mended("carx") == "carx"
    assert Vocabulary.of(("cart",), {}, LISTS).mended("carx") == "cart"


def test_a_negation_reaches_the_rest_of_its_clause_and_no_further():
    assert negated("it does not go up") == {"go", "up"}
    assert negated("it doesnt go up") == {"go", "up"}
    assert negated("it does not cool, the height increases") == {"cool"}
    assert negated("it does not cool but the height increases") == {"cool"}
    assert negated("it is not only the height") == set()
    assert negated("use eye instead of height") == {"height"}
    assert negated("no, the height increases") == set()
    assert negated("no height") == {"height"}


def test_two_negations_in_one_clause_are_tangled():
    assert read("it does not never go up", VOCABULARY).tangled
    assert not read("it does not go up. it never cools", VOCABULARY).tangled
    assert read("it is not hard to see", VOCABULARY).tangled


def test_the_students_own_words_are_shown():
    answer = read("The TEMPRATURE’s up", VOCABULARY)
    first = answer.tokens[0]
    assert answer.words(first.start, first.end) == "TEMPRATURE’s"


@pytest.mark.parametrize(
    "text", ["", "   ", "…", "👍", "ß ﬁ Ⅷ", "a" * 10_000, "not " * 500, "°°%%"]
)
def test_any_text_can_be_read(text):
    answer = read(text, load().vocabulary)
    assert all(0 <= t.start < t.end <= len(text) for t in answer.tokens)


def test_parts_may_stand_in_any_order_but_in_one_sentence():
    assert finding("eye + height", "the height by eye").how is HowSaid.SAID
    assert finding("eye + height", "Eye. Then height.").how is HowSaid.NOT


def test_words_of_a_part_stand_together():
    assert finding("height increase", "height suddenly increased").how is HowSaid.SAID
    assert finding("height increase", "height of hot tap water increased").how is HowSaid.NOT


def test_no_word_serves_two_parts():
    assert finding("height + height", "height").how is HowSaid.NOT
    assert finding("height + height", "height and height").how is HowSaid.SAID


def test_groups_whole_answers_beginnings_and_absences():
    assert finding("@judge + @very_fine", "tell a millimetre").how is HowSaid.SAID
    assert finding("= height", "The height.").how is HowSaid.SAID
    assert finding("= height", "The height of the eye").how is HowSaid.NOT
    assert finding("^ height", "height by eye").how is HowSaid.SAID
    assert finding("^ height", "eye height").how is HowSaid.NOT
    assert finding("height + but no eye", "height").how is HowSaid.SAID
    assert finding("height + but no eye", "eye height").how is HowSaid.NOT


def test_negation_is_wanted_or_turns_what_is_said():
    assert finding("eye + not @judge", "the eye cannot see").how is HowSaid.SAID
    assert finding("eye + not @judge", "the eye can see").how is HowSaid.TURNED
    assert finding("height increase", "the height does not increase").how is HowSaid.TURNED
    assert finding("see", "see it, do not see it").mixed
    assert finding("see", "seeing is not height").weak
    assert not finding("see", "see it, not height").mixed


@pytest.mark.parametrize(
    "line", ["", "the", "@nobody", "eye not see", "= eye + see", "but no eye", "eye +"]
)
def test_a_line_that_cannot_be_meant_is_refused(line):
    with pytest.raises(ValueError, match=r"."):
        parsed(line, GROUPS)


@pytest.mark.parametrize(
    "text",
    [
        "it goes up",
        "the hotter, the higher",
        "The higher the temperature the higher the bounce",
        "the colder it is the lower it bounces",
        "it bounces higher when it is warmer",
        "A hot ball bounces higher than a cold ball",
        "cold balls do not bounce as high as hot balls",
        "Increasing the temperature increases the height",
        "there is a positive correlation",
        "as the temperature falls the rebound height falls",
    ],
)
def test_both_change_the_same_way(text):
    assert way(text) is How.SAID


@pytest.mark.parametrize(
    "text",
    [
        "it goes down",
        "it does not go up",
        "the hotter, the lower",
        "a cold ball bounces higher than a hot ball",
        "temperature makes no difference to the height",
        "there is no correlation",
        "there is no positive correlation",
        "heating it reduces the rebound height",
    ],
)
def test_they_do_not_change_the_same_way(text):
    assert way(text) is How.OTHER


@pytest.mark.parametrize(
    "text",
    [
        "it goes up and then it goes down",
        "the temperature gets higher when the ball bounces higher",
        "it does not go down",
        "when the ball is not hotter it bounces higher",
    ],
)
def test_mixed_and_turned_about_statements_are_not_decided(text):
    assert way(text) is How.UNSURE


@pytest.mark.parametrize("text", ["hot", "I raised the temperature", "chips", "more accurate"])
def test_no_direction_of_the_effect_is_nothing_said(text):
    assert way(text) is How.UNSAID


def test_endings_are_one_word_but_not_where_the_sense_differs():
    assert stem("bounces") == stem("bouncing") == stem("bounced")
    assert stem("fell") == stem("falling")
    assert stem("repeatable") != stem("repeated")
    assert stem("hardly") != stem("hard")


@pytest.mark.parametrize(
    ("one", "other"),
    [
        ("The height is higher.", "height  was HIGHER"),
        ("temprature", "the temperature"),
        ("It's increasing", "it increases"),
        ("the eye can't see a millimetre", "Eye cannot see millimetres!"),
        ("isn’t higher", "it is not higher"),
    ],
)
def test_case_spelling_endings_and_idle_words_make_no_other_answer(one, other):
    assert wording(one, VOCABULARY) == wording(other, VOCABULARY)


@pytest.mark.parametrize(
    ("one", "other"),
    [
        ("it is higher", "it isn't higher"),
        ("heat goes to the eye", "heat goes from the eye"),
        ("height decreases as temperature increases", "temperature decreases as height increases"),
        ("put in the water", "put by the water"),
        ("higher", "higher?"),
        ("5 cm", "5 m"),
        ("-5 °C", "5 °C"),
        ("0.5", "0.6"),
        ("50", "50 %"),
        ("температура", "высота"),
        ("a significant height", "a not height"),
        ("same", "the same or lower"),
    ],
)
def test_whatever_may_change_the_sense_makes_another_answer(one, other):
    assert wording(one, VOCABULARY) != wording(other, VOCABULARY)
