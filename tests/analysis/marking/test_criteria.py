import re

import pytest

from analysis.marking.questions import ANSWERED
from analysis.marking.sentences.criteria import OWN_FILE, load
from analysis.marking.sentences.verdict import mark_written
from analysis.marking.study import Study
from analysis.marking.work import Work
from analysis.refusal import Refused

OWN_TEXT = OWN_FILE.read_text(encoding="utf-8")


@pytest.fixture
def changed(tmp_path):
    """Give a criteria file of a teacher's own: ours with one text replaced."""

    def make(old, new):
        assert old in OWN_TEXT
        path = tmp_path / "mine.toml"
        path.write_text(OWN_TEXT.replace(old, new, 1), encoding="utf-8")
        return path

    return make


def test_every_written_question_has_one_row_and_no_number_has():
    rows = [(row.criterion.page, row.question, row.criterion.name) for row in load().rows]
    assert rows == [
        (page, name, asked.criterion)
        for (page, name), asked in ANSWERED.items()
        if not (asked.answer.quantity or asked.optional)
    ]


def test_names_texts_and_marks_are_there():
    rows = load().rows
    assert len({row.criterion.name for row in rows}) == len(rows)
    assert all(row.criterion.asks and row.nudge and row.worked for row in rows)
    assert all(row.criterion.marks == 1 for row in rows)


def test_the_own_file_is_read_once():
    assert load() is load()


def test_a_copy_marks_alike_and_a_changed_copy_otherwise(changed):
    study = Study(Work(answers={("Conclusion", "relationship"): "it blorps"}))
    taught = changed('up = [\n    "increase"', 'up = [\n    "blorp", "increase"')
    # What no answer learned from has said is credited where the lists decide alone.
    alone = taught.read_text(encoding="utf-8").replace('reads_like = "relationship"\n', "")
    taught.write_text(alone, encoding="utf-8")
    verdict = {
        path: next(r for r in mark_written(study, load(path)) if r.where == "relationship").verdict
        for path in (OWN_FILE, taught)
    }
    assert [v.name for v in verdict.values()] == ["TEACHER", "RIGHT"]


@pytest.mark.parametrize(
    ("old", "new", "sentence"),
    [
        ('rule = "says"', 'rule = "sings"', "criterion 7 .* no rule is called 'sings'; use"),
        ('asks = "Says which', 'asked = "Says which', "criterion 13 .* asks is missing"),
        ('asks = "Says which', 'hue = "red"\nasks = "Says which', "criterion 13 .*'hue' means"),
        ('fits = "hazard 1"', 'fits = "hazard 9"', "criterion 2 .* no row before .*'hazard 9'"),
        ('from = "shape"', 'from = "shapes"', "criterion 14 .* no choice of the set 'shapes'"),
        ('name = "hazards.risk 2"', 'name = "hazards.hazard 1"', "criterion 5 .* the same name"),
        ('"@burn"', '"@burns"', r"choice 1 \(hot water\): '@burns' names no group"),
        ('"not hotter"', '"much not hotter"', "choice 1 .* has 'not' inside a part"),
        ('words.risk = ["@fall", "bump', 'words.risk = 3 # ', "choice 8 .* risk must be a list"),
        ('"not carry"', '"the"', "choice 1 .*'the' holds no word that counts"),
        ('burn = ["burn"', 'burn = ["= burn"', r"\[groups\]: burn must hold words only"),
        ('burn = ["burn"', 'burn = ["the"', r"\[groups\]: burn has 'the'"),
        ("[nudges]", '[nudges]\nextra = 3', r"\[nudges\]: extra must be a text"),
        ('first = "This', 'firsts = "This', r"\[nudges\]: first is missing"),
        ('slope = -1', 'slope = 2', r"cooling\]: slope must be 1, -1 or 0"),
        ('like = "evaluation.in', 'like = "evaluation.out', "criterion 20 .* no row before it is"),
        ('slopes = { "drop', 'slopes = { "fall', "choice .*slopes must give quantities"),
        ('"~from higher"', '"~over higher"', "'~over' is no kind of preposition"),
        ('"~from higher"', '"higher ~from"', "ends in ~from, and no word follows"),
        ('name = "curved"', 'name = "curved"\nnever = 3', "choice .* never must be written"),
        ("\n[directions]", "\n[direction]", r"no table \[directions\]"),
        ('set = "shape"', 'set = "shape"\nhue = "red"', "choice .*'hue' means nothing in a choice"),
        ('rule = "says"', 'rule = "says"\nmarks = -1', "criterion 7 .* marks must be a whole"),
        ("[groups]", "[groups", "cannot be read as TOML"),
    ],
)  # fmt: skip
def test_a_file_that_cannot_be_meant_is_refused_in_one_sentence(changed, old, new, sentence):
    with pytest.raises(Refused, match=rf"mine\.toml.*{sentence}") as refused:
        load(changed(old, new))
    assert "\n" not in str(refused.value)
    assert str(refused.value).endswith(".")


def test_a_row_without_anything_that_earns_the_mark_is_refused(tmp_path):
    path = tmp_path / "mine.toml"
    bare = re.sub(r'(rule = "says"\n)says = \[.*?\]\n', r"\1", OWN_TEXT, count=1, flags=re.DOTALL)
    path.write_text(bare, encoding="utf-8")
    with pytest.raises(Refused, match=r"criterion 7 .*says is missing"):
        load(path)


def test_missing_and_unreadable_files_are_refused(tmp_path):
    with pytest.raises(Refused, match="There is no file"):
        load(tmp_path / "none.toml")
    path = tmp_path / "latin.toml"
    path.write_bytes(b'a = "\xe9"')
    with pytest.raises(Refused, match="UTF-8"):
        load(path)
    path.write_text("a = " + "[" * 5_000, encoding="utf-8")
    with pytest.raises(Refused, match="lists too deep"):
        load(path)
    path.write_text("", encoding="utf-8")
    with pytest.raises(Refused, match=r"no table \[groups\]"):
        load(path)
