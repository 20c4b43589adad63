"""Typed access to values: what is accepted, and what each refusal says."""

from collections.abc import Callable

import pytest
from hypothesis import given
from hypothesis import strategies as st

from scenarios.files.strict_yaml import DataError, Mapping, Node, Problems, parse


def entry_of(text: str) -> Mapping:
    return parse(text, "f").mapping()


def read_check(node: Node) -> tuple[str, float, list[str], bool]:
    """A loader as loaders are meant to be written."""
    entry = node.mapping()
    check = (
        entry.text("name"),
        entry.number("minutes", low=0, high=120, default=5.0),
        [caution.text() for caution in entry.items("cautions", default=[])],
        entry.boolean("hot", default=False),
    )
    entry.done()
    return check


def test_a_loader_reads_required_and_optional_keys() -> None:
    assert read_check(parse("{name: Feel the hose, minutes: 2, cautions: [hot], hot: true}", "f")) == (
        "Feel the hose",
        2.0,
        ["hot"],
        True,
    )
    assert read_check(parse("name: Feel the hose", "f")) == ("Feel the hose", 5.0, [], False)


@pytest.mark.parametrize(
    ("text", "error"),
    [
        ("minutes: 2", "f:1:1: no key 'name' in this mapping, expected one"),
        ("minutes: 2\nnmae: x", "f:1:1: no key 'name' in this mapping, expected one (is 'nmae' on line 2 meant?)"),
        ("name:", "f:1:6: no value, expected text"),
        ("name: 5", "f:1:7: 5, expected text (put it in quotes)"),
        ("name: ' '", "f:1:7: blank text, expected some text"),
        ("name: [x]", "f:1:7: a list, expected text"),
        ("name: x\nminutes: 121", "f:2:10: 121, expected a number of at least 0 and at most 120"),
        ("name: x\nminutes: '5'", "f:2:10: the text '5', expected a number"),
        ("name: x\nminutes: true", "f:2:10: true, expected a number"),
        ("name: x\nminutes: ", "f:2:9: no value, expected a number"),
        ("name: x\nhot: yes", "f:2:6: the text 'yes', expected true or false"),
        ("name: x\nhot: 1", "f:2:6: 1, expected true or false"),
        ("name: x\ncautions: hot", "f:2:11: the text 'hot', expected a list (lines of `- item`)"),
        ("- name", "f:1:1: a list, expected a mapping (lines of `key: value`)"),
        (
            "name: x\nminuts: 3",
            "f:2:1: unknown key 'minuts', expected one of 'cautions', 'hot', 'minutes', 'name' (is 'minutes' meant?)",
        ),
    ],
)
def test_each_refusal_says_what_was_expected(text: str, error: str) -> None:
    with pytest.raises(DataError) as caught:
        read_check(parse(text, "f"))
    assert str(caught.value) == error


def test_every_unknown_key_is_reported() -> None:
    entry = entry_of("name: x\nfoo: 1\nbar: 2")
    entry.text("name")
    with pytest.raises(DataError) as caught:
        entry.done()
    assert [error.line for error in caught.value.errors] == [2, 3]


def test_asking_whether_a_key_is_there_makes_it_known() -> None:
    entry = entry_of("left: 1\nright: 2")
    assert "left" in entry
    assert "middle" not in entry
    assert [(key.text(), value.integer()) for key, value in entry.pairs()] == [("left", 1), ("right", 2)]
    entry.done()


@pytest.mark.parametrize(
    ("read", "good", "bad"),
    [
        (lambda node: node.number(above=0), "0.001", "0"),
        (lambda node: node.number(low=-40, high=120), "-40", "-40.5"),
        (lambda node: node.integer(low=1), "1", "0"),
        (lambda node: node.integer(), "3", "3.0"),
        (lambda node: node.integer(), "0x10", "false"),
        (lambda node: node.items(least=2, most=2), "[1, 2]", "[1]"),
        (lambda node: node.items(most=1), "[]", "[1, 2]"),
        (lambda node: node.choice(["open", "shut"]), "open", "Open"),
        (lambda node: node.identifier(), "heater-core-2", "Heater-core"),
        (lambda node: node.identifier(), "a", "2a"),
        (lambda node: node.identifier(), "b", "'heater core'"),
        (lambda node: node.identifier(), "c", "hëater"),
        (lambda node: node.text(longest=3), "abc", "abcd"),
        (lambda node: node.text(), "|\n  one line\n", "|\n  two\n  lines\n"),
        (lambda node: node.prose(), "|\n  two\n  lines\n", "|\n\n"),
        (lambda node: node.mapping(), "{}", "[]"),
    ],
)
def test_bounds(read: Callable[[Node], object], good: str, bad: str) -> None:
    read(parse(good, "f"))
    with pytest.raises(DataError):
        read(parse(bad, "f"))


def test_choice_suggests_whatever_the_case() -> None:
    with pytest.raises(DataError, match=r"one of 'open', 'shut' \(is 'open' meant\?\)"):
        parse("OPNE", "f").choice({"open", "shut"})


def test_many_choices_are_counted_and_the_nearest_named() -> None:
    with pytest.raises(DataError, match=r"one of 30 names \(is 'part-7' meant\?\)"):
        parse("prt-7", "f").choice({f"part-{n}" for n in range(30)})


@given(st.floats(-1e6, 1e6), st.floats(-1e6, 1e6), st.floats(-1e6, 1e6))
def test_a_number_is_accepted_exactly_within_its_bounds(number: float, low: float, high: float) -> None:
    node = parse(repr(number), "f")
    if low <= number <= high:
        assert node.number(low=low, high=high) == number
    else:
        with pytest.raises(DataError):
            node.number(low=low, high=high)


def test_problems_collects_one_error_an_item() -> None:
    problems, read = Problems(), []
    for node in parse("[1, x, 3, -4]", "f").items():
        with problems:
            read.append(node.integer(low=0))
    assert read == [1, 3]
    with pytest.raises(DataError) as caught:
        problems.finish()
    assert [(error.line, error.column) for error in caught.value.errors] == [(1, 5), (1, 11)]
    assert len(str(caught.value).splitlines()) == 2


def test_problems_lets_other_exceptions_through() -> None:
    problems = Problems()
    with pytest.raises(ZeroDivisionError), problems:
        _ = 1 / 0
    problems.finish()


def test_a_single_problem_is_raised_as_itself() -> None:
    problems = Problems()
    error = parse("x", "f").error("this", "that")
    problems.add(error)
    with pytest.raises(DataError) as caught:
        problems.finish()
    assert caught.value is error


def test_text_of_the_file_cannot_act_on_a_terminal() -> None:
    error = DataError("a\x1b[2J.yaml", 1, 1, "x", "y")
    assert str(error).isprintable()
    with pytest.raises(DataError) as caught:
        entry_of("'caf\u00e9\u200b': 1").done()
    assert str(caught.value).isprintable()
