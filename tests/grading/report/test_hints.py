"""Hints come from the record and the physics alone, step by step, and cost what the rubric says."""

from __future__ import annotations

import threading
import time
from collections.abc import Callable, Iterator
from contextlib import suppress
from dataclasses import replace
from pathlib import Path
from typing import Any, cast

import pytest

import grading.report.hints
from grading.marks.grade import Grader
from grading.marks.rubric import PACKAGED, load_rubric
from grading.observer.cache import BeliefCache
from grading.observer.particles import Particles
from grading.reference.options import CONFIRMS, VERIFIES, Option
from grading.reference.policy import Advice
from grading.reference.preparation import Readiness
from grading.report.hint_words import Ladder, check_ladder
from grading.report.hints import Guide, given, next_hint
from grading.sessions.modes import EXAM, FREE, GUIDED, RUNGS, Mode
from grading.sessions.record import read_record
from grading.sessions.session import Session
from scenarios.actions import Action
from scenarios.language import Message
from scenarios.model import Catalogue
from tests.grading.cases import did, entries
from tests.grading.workbench import CURE, FIND, PROVE, SEED, WRITE, bench, with_fault

CATALOGUE = bench()
BACK = Action("handback")


def guided(fault: str, *actions: Action) -> Session:
    catalogue, job = with_fault(CATALOGUE, fault)
    session = Session(catalogue, job, SEED, mode=Mode(GUIDED))
    for action in actions:
        assert session.do(action).refused is None
    return session


def names(catalogue: Catalogue) -> set[str]:
    return {fault.name for fault in catalogue.faults.values()}


@pytest.mark.parametrize("count", range(len(FIND) + 1))
def test_the_vehicle_itself_is_not_asked(count: int) -> None:
    session = guided("coolant-low", *FIND[:count])
    before = Guide(session).ladder()
    session.workshop = cast(Any, None)
    assert Guide(session).ladder() == before


def test_the_same_record_gives_the_same_hint_whatever_is_wrong() -> None:
    ladders = {Guide(guided(fault)).ladder() for fault in ("coolant-low", "thermostat-stuck-open", "none")}
    assert len(ladders) == 1


def test_no_step_names_one_fault_alone() -> None:
    for count in range(len(FIND) + 1):
        for text in Guide(guided("coolant-low", *FIND[:count])).ladder().rungs:
            assert len({name for name in names(CATALOGUE) if name in str(text)}) != 1


def test_the_steps_come_in_order_and_then_no_more() -> None:
    session = guided("coolant-low")
    ladder = Guide(session).ladder()
    assert ladder.about in CATALOGUE.checks
    for rung, text in zip(RUNGS, ladder.rungs, strict=True):
        hint = next_hint(session.recorder.entries, ladder)
        assert hint is not None
        assert (hint.rung, hint.text) == (rung, text)
        session.do(hint.action)
    assert given(session.recorder.entries, ladder) == len(RUNGS)
    assert next_hint(session.recorder.entries, ladder) is None


def test_the_ladder_follows_the_work() -> None:
    session = guided("coolant-low")
    guide = Guide(session)
    about = [guide.ladder().about]
    for actions in (FIND, (Action("diagnose", ("thermostat-stuck-open", 90.0)),), CURE, PROVE, WRITE):
        for action in actions:
            session.do(action)
        about.append(guide.ladder().about)
    assert about[0] in CATALOGUE.checks
    assert about[2:] == ["doubt thermostat-stuck-open", "prove", "write", "handback"]


LOW = Action("diagnose", ("coolant-low", 90.0))
SOUND = Action("diagnose", ("none", 90.0))
VENTS = Action("check", ("vent-temperature",))


@pytest.mark.parametrize(
    ("fault", "done", "about"),
    [
        ("thermostat-stuck-open", (*FIND, LOW), "doubt coolant-low"),
        ("coolant-low", (*FIND, LOW), "repair"),
        ("coolant-low", (*FIND, SOUND), "doubt none"),
        ("coolant-low", (*FIND, LOW, *CURE), "prove"),
        ("coolant-low", (*FIND, LOW, *PROVE, *CURE), "prove"),  # measured before the repair
        ("coolant-low", (*FIND, LOW, *CURE, *PROVE[:-1]), "prove"),
        ("coolant-low", (*FIND, LOW, *CURE, *PROVE[:-2], VENTS), "prove"),  # on a cold engine nothing is proven
        ("coolant-low", (*FIND, LOW, *CURE, *PROVE), "write"),
        ("coolant-low", (*FIND, LOW, *CURE, *PROVE, *WRITE[:2]), "write"),
        ("coolant-low", (*FIND, LOW, *CURE, *PROVE, *WRITE), "handback"),
        ("coolant-low", (*FIND, *CURE, *PROVE, *WRITE), "handback"),  # nothing declared, yet warm
        ("none", (*FIND, VENTS, SOUND), "handback"),  # nothing to repair, and proven
        ("none", (*FIND, SOUND), "prove"),
    ],
)
def test_each_moment_of_a_job_has_its_ladder(fault: str, done: tuple[Action, ...], about: str) -> None:
    assert Guide(guided(fault, *done)).ladder().about == about


def test_where_the_proof_was_tried_and_failed_the_search_goes_on() -> None:
    left = guided("thermostat-stuck-open", LOW, *CURE, *PROVE)
    assert left.readings[-1].step < left.job.warm_enough_C
    assert Guide(left).ladder().about in {*CATALOGUE.checks, "diagnose"}


@pytest.mark.parametrize(
    ("asked", "rung"),
    [
        ((), "question"),
        ((("question", "gauge"),), "pointer"),
        ((("question", "gauge"), ("pointer", "gauge")), "explanation"),
        ((("pointer", "gauge"),), "explanation"),
        ((("question", "gauge"), ("pointer", "gauge"), ("explanation", "gauge")), None),
        ((("question", "belt"), ("pointer", "belt")), "question"),  # of another ladder
    ],
)
def test_the_next_step_is_the_one_above_the_highest_that_was_given(
    asked: tuple[tuple[str, str], ...], rung: str | None
) -> None:
    steps = Ladder("gauge", (Message("Why?"), Message("There."), Message("So.")))
    hint = next_hint(entries(did("check", "gauge"), *(did("hint", *each, "a text") for each in asked)), steps)
    assert (hint and hint.rung) == rung
    assert hint is None or hint.text == steps.rungs[RUNGS.index(hint.rung)]


def test_the_proof_is_known_by_what_it_measures() -> None:
    """A check of another name proves as well, and is named."""
    catalogue, job = with_fault(CATALOGUE, "coolant-low")
    checks = dict(catalogue.checks)
    checks["outlet"] = replace(checks.pop("vent-temperature"), id="outlet", name="air at the outlet")
    session = Session(replace(catalogue, checks=checks), job, SEED, mode=Mode(GUIDED))
    for action in (Action("diagnose", ("coolant-low", 90.0)), *CURE):
        assert session.do(action).refused is None
    guide = Guide(session)
    ladder = guide.ladder()
    assert ladder.about == "prove"
    assert "The check: air at the outlet." in str(ladder.rungs[2])
    for action in (*PROVE[:-1], Action("check", ("outlet",))):
        assert session.do(action).refused is None
    assert guide.ladder().about == "write"


def test_working_it_out_can_be_broken_off_and_taken_up_again() -> None:
    class Stop(Exception):
        pass

    def stop(share: float) -> None:
        if share > 0.4:
            raise Stop

    session = guided("coolant-low", *FIND)
    guide = Guide(session)
    with pytest.raises(Stop):
        guide.ladder(stop)
    assert guide.ladder() == Guide(session).ladder()


def test_it_says_how_far_it_is() -> None:
    told: list[float] = []
    Guide(guided("coolant-low", *FIND)).ladder(told.append)
    assert told == sorted(set(told))
    assert len(told) == len(FIND) + 1


def _doubted() -> Session:
    """A session whose declared fault is not borne out: its hint lists what the readings told."""
    return guided("coolant-low", *FIND, Action("diagnose", ("thermostat-stuck-open", 90.0)))


def _counted(monkeypatch: pytest.MonkeyPatch, guide: Guide) -> list[Action]:
    """The actions that a guide takes in from now on, each as often as it does."""
    taken: list[Action] = []
    after = BeliefCache.after

    def counted(self: BeliefCache, now: Any, action: Action, *seen: Any) -> Any:
        if self is guide._trail:
            taken.append(action)
        return after(self, now, action, *seen)

    monkeypatch.setattr(BeliefCache, "after", counted)
    return taken


def test_two_who_ask_at_once_take_each_entry_in_once(monkeypatch: pytest.MonkeyPatch) -> None:
    session = _doubted()
    expected = Guide(session).ladder()
    guide = Guide(session)
    taken = _counted(monkeypatch, guide)
    second_asks, first_is_inside = threading.Event(), threading.Event()
    ladders: list[Ladder] = []

    calls = iter(range(100))

    def first(share: float) -> None:
        if next(calls) == 2:  # something is taken in, and the rest is still to come
            first_is_inside.set()
            second_asks.wait(30.0)
            time.sleep(0.3)  # time for the second to get as far as it may

    def second(share: float) -> None:
        second_asks.set()

    def ask(progress: Callable[[float], None]) -> None:
        ladders.append(guide.ladder(progress))

    threads = [threading.Thread(target=ask, args=(told,)) for told in (first, second)]
    threads[0].start()
    assert first_is_inside.wait(30.0)
    threads[1].start()
    for thread in threads:
        thread.join(60.0)
    assert taken == list(FIND)
    assert ladders == [expected, expected]


def test_one_who_waits_for_another_may_break_off() -> None:
    class Stop(Exception):
        pass

    def stop(share: float) -> None:
        raise Stop

    guide = Guide(_doubted())
    inside, done = threading.Event(), threading.Event()

    def wait(share: float) -> None:
        inside.set()
        done.wait(30.0)

    other = threading.Thread(target=guide.ladder, args=(wait,))
    other.start()
    assert inside.wait(30.0)
    with pytest.raises(Stop):
        guide.ladder(stop)
    done.set()
    other.join(60.0)


def test_broken_off_within_an_entry_it_is_still_taken_in_once(monkeypatch: pytest.MonkeyPatch) -> None:
    class Stop(Exception):
        pass

    session = _doubted()
    ran: list[float] = []
    advise, belief = grading.report.hints.advise, Particles.belief

    def advised(particles: Particles, readiness: Readiness, done: set[str]) -> Advice:
        ran.append(readiness.minutes_run)
        return advise(particles, readiness, done)

    monkeypatch.setattr(grading.report.hints, "advise", advised)
    expected = Guide(session).ladder()
    guide = Guide(session)
    for calls in range(1, 2 * len(FIND)):  # the belief is asked for last of all, where an entry holds readings
        left = iter(range(calls))

        def broken(self: Particles, left: Iterator[int] = left) -> Any:
            if next(left, None) is None:
                raise Stop
            return belief(self)

        with monkeypatch.context() as patched, suppress(Stop):
            patched.setattr(Particles, "belief", broken)
            guide.ladder()
    assert guide.ladder() == expected
    assert len(set(ran)) == 1


def test_a_hint_says_why_where_it_is_not_for_the_information() -> None:
    """The complaint is to be seen before anything else; a part is looked at although the readings have decided."""
    catalogue, job = with_fault(CATALOGUE, "coolant-low")
    belief = Particles.sample_prior(catalogue, job)
    plain = Option(catalogue.checks["heater-feed-infrared"], (), 2.0, 0.04, 0.9)
    seen, shown, confirmed = (
        [str(text) for text in check_ladder(belief, replace(plain, purpose=purpose)).rungs]
        for purpose in ("", VERIFIES, CONFIRMS)
    )
    assert "What does the customer complain of" in shown[0] and shown[1:] == seen[1:]
    assert "what would show the part itself" in confirmed[0] and confirmed[1] == seen[1]
    assert "confirms what your readings point to" in confirmed[2] and " bit " not in confirmed[2]
    assert " bit " in seen[2] and seen[2] == shown[2]
    for text in (*shown, *confirmed):
        assert len({name for name in names(CATALOGUE) if name in text}) != 1


def test_hints_cost_what_the_file_says(tmp_path: Path) -> None:
    text = PACKAGED.read_text(encoding="utf-8")
    assert "pointer: 2" in text
    other = tmp_path / "rubric.yaml"
    other.write_text(text.replace("pointer: 2", "pointer: 12"), encoding="utf-8")
    hints = tuple(Action("hint", (rung, "coolant-level-cold"), "a text") for rung in RUNGS[:2])
    done = (*FIND, Action("diagnose", ("coolant-low", 90.0)), *CURE, *PROVE, *WRITE, BACK)
    without, asked = guided("coolant-low", *done), guided("coolant-low", *hints, *done)
    grader = Grader(without.catalogue, without.job, SEED)
    plain, hinted = grader.grade(without.recorder.entries), grader.grade(asked.recorder.entries)
    grader.rubric = load_rubric(other)
    dear = grader.grade(asked.recorder.entries)
    assert plain.hints == 0.0
    assert (hinted.hints, dear.hints) == (3.0, 13.0)
    assert plain.total - hinted.total == pytest.approx(3.0, abs=0.11)
    assert plain.total - dear.total == pytest.approx(13.0, abs=0.11)
    assert plain.criteria == hinted.criteria
    assert (plain.mode, hinted.mode) == (GUIDED, GUIDED)


@pytest.mark.parametrize("mode", [Mode(FREE), Mode(EXAM, 30.0, 0.0)])
def test_outside_mode_guided_there_are_none(mode: Mode) -> None:
    session = Session(CATALOGUE, CATALOGUE.jobs["cold-tern"], SEED, mode=mode)
    refused = session.do(Action("hint", ("question", "gauge"), "a text")).refused
    assert refused is not None
    assert "expected" in refused


@pytest.mark.parametrize(
    "told",
    [
        '"mode": "open"',
        '"mode": "exam"',
        '"mode": "exam", "minutes": 1e9, "begun": 0',
        '"mode": "exam", "minutes": 30, "begun": "now"',
        '"mode": "exam", "minutes": true, "begun": 0',
    ],
)
def test_a_record_of_no_known_mode_is_refused(tmp_path: Path, told: str) -> None:
    path = tmp_path / "record.jsonl"
    path.write_text(f'{{"kind": "job", "format": 1, "job": "cold-tern", "seed": 1, {told}}}\n', encoding="utf-8")
    with pytest.raises(Exception, match=r"record\.jsonl:1:1: .*expected"):
        read_record(path)
