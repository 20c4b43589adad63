"""Choices by key: the same for the same key, and as frequent as their weights say."""

import numpy as np
import pytest
from scipy.stats import chisquare

from grading.drawing.dice import Dice

P_LEAST = 0.001


def test_the_same_key_and_name_give_the_same_choice() -> None:
    one, again, other = Dice(7, 1), Dice(7, 1), Dice(7, 2)
    names = [str(k) for k in range(50)]
    assert [one.share(name) for name in names] == [again.share(name) for name in reversed(names)][::-1]
    assert [one.share(name) for name in names] != [other.share(name) for name in names]


def test_choices_are_as_frequent_as_their_weights() -> None:
    things, weights = ("a", "b", "c", "never"), (1.0, 2.0, 5.0, 0.0)
    drawn = [Dice("weights", k).one_of("thing", things, weights) for k in range(4000)]
    counts = np.array([drawn.count(thing) for thing in things])
    assert counts[3] == 0
    assert chisquare(counts[:3], 4000 * np.array(weights[:3]) / 8.0).pvalue >= P_LEAST


def test_whole_numbers_reach_both_ends_equally_often() -> None:
    drawn = [Dice("whole", k).integer("number", -2, 3) for k in range(6000)]
    counts = [drawn.count(number) for number in range(-2, 4)]
    assert sum(counts) == 6000 and chisquare(counts).pvalue >= P_LEAST


def test_heavier_things_come_first_in_proportion() -> None:
    orders = [Dice("order", k).shuffled("things", "abc", (6.0, 3.0, 1.0)) for k in range(3000)]
    assert all(sorted(order) == ["a", "b", "c"] for order in orders)
    first = [sum(order[0] == thing for order in orders) for thing in "abc"]
    assert chisquare(first, 3000 * np.array([0.6, 0.3, 0.1])).pvalue >= P_LEAST
    behind_b = [order[1:] for order in orders if order[0] == "b"]
    second = [sum(rest[0] == thing for rest in behind_b) for thing in "ac"]
    assert chisquare(second, len(behind_b) * np.array([6.0, 1.0]) / 7.0).pvalue >= P_LEAST


def test_nothing_can_be_chosen_from_nothing() -> None:
    with pytest.raises(ValueError, match="nothing"):
        Dice(1).one_of("thing", ())
