"""What a learner is offered, on the board and by words in plain text; which vehicles are drawn ahead for it."""

from __future__ import annotations

import json
from collections.abc import Callable
from pathlib import Path

import pytest

import scenarios.files.loader
import tui.presentation.between_jobs.another_vehicle
import tui.presentation.between_jobs.numbers
from grading.drawing.narrowing import COMPLAINT_WORDS, pair_word
from grading.drawing.number import job_id
from grading.marks.rubric import load_rubric
from grading.sessions.records import kept_records
from scenarios.files.drawn_jobs import with_drawn_jobs
from scenarios.files.own_folders import drawn_folder
from scenarios.model import COMPLAINTS, Catalogue
from scenarios.wrong_use import WrongUse
from tests.tui.presentation.learner import COLD, HARD, LOW, NONE, OTHER, STUCK, Learner, draw, four_jobs, on
from tui.app.board_contents import DUE, NEXT, OF_DAY, BoardContents
from tui.app.notices import notices_of
from tui.presentation.between_jobs import numbers
from tui.presentation.between_jobs.another_vehicle import (
    choices,
    complaint_word,
    is_drawn,
    lacking,
    like,
    next_number,
    waiting,
)
from tui.presentation.between_jobs.complaint_words import SHORT
from tui.presentation.between_jobs.offered import Offered, offered
from tui.presentation.between_jobs.pick import picked
from tui.presentation.between_jobs.progress import progress_of
from tui.presentation.process.draw_ahead import main

Run = Callable[..., tuple[int, str, str]]
WORD = pair_word((LOW, STUCK))
TODAY = "2001-02-09"
DRAWN: list[str] = []


@pytest.fixture(autouse=True)
def known(catalogue: Catalogue, monkeypatch: pytest.MonkeyPatch) -> Catalogue:
    """Four jobs; drawing plants the stuck thermostat, and in every second vehicle the low coolant."""
    DRAWN.clear()
    four = four_jobs(catalogue)

    def load(*folders: Path) -> Catalogue:
        return with_drawn_jobs(four, [folder.name for folder in folders])

    monkeypatch.setattr(scenarios.files.loader, "load_catalogue", load)

    def drawn(catalogue: Catalogue, number: str, *rest: object) -> tuple[str, Path]:
        name = job_id(number)
        if not is_drawn(number):
            DRAWN.append(number)
            draw(catalogue, number, (LOW, STUCK)[len(DRAWN) % 2])
        return name, drawn_folder(name)

    monkeypatch.setattr(tui.presentation.between_jobs.another_vehicle, "drawn_by_number", drawn)
    monkeypatch.setattr("grading.drawing.by_number.drawn_by_number", drawn)
    monkeypatch.setattr(tui.presentation.between_jobs.numbers, "today", lambda: on(TODAY))
    return four


def given(known: Catalogue) -> Offered:
    kept = kept_records()
    return offered(known, progress_of(known, kept), kept, on(TODAY))


def board(known: Catalogue) -> BoardContents:
    """The board once records are read."""
    shown = BoardContents(notices_of(known))
    shown.kept, shown.offered = kept_records(), given(known)
    shown.notices |= notices_of(Catalogue(known.vehicles, {}, {}, {}, shown.offered.drawn, {}))
    return shown


# -- the board ---------------------------------------------------------------------------------------------------------


def test_the_easiest_job_comes_first_and_is_offered_before_any_record_is_read(known: Catalogue) -> None:
    shown = BoardContents(notices_of(known))
    rows = [row.id for row in shown.rows() if row.id]
    assert rows == [NEXT + OTHER, OF_DAY, OTHER, COLD, "sound-tern", HARD]
    assert "Start here" in shown.card(rows[0], "si").plain
    assert [row.id for row in board(known).rows() if row.id] == rows
    assert "Start here" in board(known).card(rows[0], "si").plain


def test_the_complaint_stands_under_each_title(known: Catalogue) -> None:
    below = {row.id: row.below.plain for row in BoardContents(notices_of(known)).rows()}
    assert below[COLD] == "no heat" and below[OTHER] == below[NEXT + OTHER] == "needle out of place"
    assert SHORT.keys() == COMPLAINTS.keys()


def test_later_what_suits_the_learner_is_next(known: Catalogue, records: Path) -> None:
    Learner(records).did("2001-02-09", OTHER, STUCK)
    assert given(known).next_job == COLD
    Learner(records).did("2001-02-08", COLD, STUCK, passed=False)
    shown = board(known)
    assert shown.next_job == given(known).next_job != OTHER
    assert "Next for you, " in shown.card(NEXT + str(shown.next_job), "si").plain


def test_what_is_due_is_told_without_telling_the_faults(known: Catalogue, records: Path) -> None:
    Learner(records).did("2001-02-06", COLD, STUCK, passed=False)
    (one,) = given(known).due
    assert (one.word, one.days, one.passed, one.begun) == (WORD, 3, 0, None)
    row = next(row for row in board(known).rows() if row.id == DUE + WORD)
    told = row.left.plain + board(known).card(row.id, "si").plain
    assert "Due again: coolant, engine temperature" in told and "3 days ago" in told
    assert "1 of 3" in row.right.plain
    assert not any(known.faults[name].name in told for name in (LOW, STUCK))


def test_a_vehicle_begun_for_what_is_due_is_gone_on_with(known: Catalogue, records: Path) -> None:
    learner = Learner(records)
    learner.did("2001-02-06", COLD, STUCK, passed=False)
    name = draw(known, f"{WORD}-5")
    learner.began(TODAY, name)
    assert given(known).due[0].begun == name and board(known).job_of(DUE + WORD) == name
    assert picked(known, "due", kept_records(), load_rubric(), on(TODAY)) == name and not DRAWN


def test_drawn_vehicles_that_are_open_stand_on_the_board_with_their_numbers(known: Catalogue, records: Path) -> None:
    learner = Learner(records)
    name, over = draw(known, "4711"), draw(known, "4712")
    learner.began(TODAY, name)
    learner.did(TODAY, over, LOW)
    rows = {row.id: row.left.plain for row in board(known).rows()}
    assert rows[name] == "◐ Drawn by chance, number 4711" and over not in rows
    assert "Number 4711. Give this number to a mate" in board(known).card(name, "si").plain


def test_the_vehicle_of_the_day_is_its_date_for_everybody(known: Catalogue, lukewarm: Run) -> None:
    assert given(known).of_day == "20010209" and board(known).notice_of(OF_DAY) is None
    assert "20010209" in board(known).card(OF_DAY, "si").plain
    _status, out, _errors = lukewarm("text", "--pick", "today", lines=("quit",))
    assert "draw-20010209" in out and DRAWN == ["20010209"]
    assert board(known).job_of(OF_DAY) == "draw-20010209" and board(known).notice_of(OF_DAY) is not None
    assert "number 20010209" in lukewarm("show", "board")[1]
    assert json.loads(lukewarm("show", "board", "--format", "json")[1])["vehicle_of_the_day"] == "20010209"


def test_plain_text_tells_what_the_board_shows(known: Catalogue, records: Path, lukewarm: Run) -> None:
    told = lukewarm("show", "board")[1].splitlines()
    assert told[0] == "Next for you: Other Tern, the easiest one to begin with. lukewarm text --pick next"
    assert [line.split(":")[0].strip() for line in told[-4:]] == [OTHER, COLD, "sound-tern", HARD]
    Learner(records).did("2001-02-06", COLD, STUCK, passed=False)
    assert "Due again: coolant, engine temperature. 3 days ago" in lukewarm("show", "board")[1]


# -- picked, and drawn ahead -------------------------------------------------------------------------------------------


def test_words_pick_what_they_say(known: Catalogue, records: Path) -> None:
    learner = Learner(records)

    def pick(what: str) -> str:
        return picked(known, what, kept_records(), load_rubric(), on(TODAY))

    for what in ("due", "confused", "same-complaint"):
        with pytest.raises(WrongUse):
            pick(what)
    assert pick("next") == OTHER and not DRAWN
    learner.did("2001-02-06", COLD, STUCK, passed=False)
    for what, word in (("any", ""), ("blower", "blower"), ("easy", "easy"), ("due", WORD)):
        assert numbers.kind_of(pick(what)) == word
    assert pick("confused") == pick("due")  # drawn already, and not opened yet


def test_the_same_complaint_comes_with_another_fault(known: Catalogue, records: Path) -> None:
    learner = Learner(records)
    learner.did("2001-02-06", COLD, LOW)
    name = picked(known, "same-complaint", kept_records(), load_rubric(), on(TODAY))
    (found,) = [job for job in waiting(known, ())["cold"] if job.id == name]
    assert found.real_faults == (STUCK,) and DRAWN[-1] == name.removeprefix("draw-")
    count = len(DRAWN)
    assert like(known, known.jobs[COLD], load_rubric(), ()) == name and len(DRAWN) == count  # the one that waits
    assert like(known, known.jobs[COLD], load_rubric(), {name}) != name


def test_no_other_fault_no_offer(known: Catalogue) -> None:
    assert complaint_word(known, known.jobs[COLD]) == "cold"
    assert complaint_word(known, known.jobs[OTHER]) is None  # only the thermostat moves the needle
    assert COMPLAINT_WORDS["no-air"] == "no air"


def test_one_of_each_kind_that_may_be_wanted_is_drawn_ahead(known: Catalogue, records: Path) -> None:
    learner = Learner(records)

    def kinds() -> list[str]:
        return [number.rpartition("-")[0] or number for number in lacking(known, kept_records(), on(TODAY))]

    of_day, any_ = kinds()
    assert of_day == "20010209" and any_.isdecimal()
    learner.did("2001-02-06", COLD, STUCK, passed=False)
    learner.did("2001-02-06", draw(known, "blower-3"), LOW)
    assert kinds()[1] == WORD and kinds()[3:] == ["blower"]
    draw(known, "20010209")
    draw(known, f"{WORD}-1")
    assert [kind for kind in kinds() if not kind.isdecimal()] == ["blower"]
    learner.began(TODAY, f"draw-{WORD}-1")
    assert WORD in kinds()


def test_the_process_beside_a_job_draws_what_is_lacking(known: Catalogue, records: Path) -> None:
    Learner(records).did("2001-02-06", COLD, STUCK, passed=False)
    main()
    assert [number.rpartition("-")[0] or "bare" for number in DRAWN] == ["bare", WORD, "bare"]
    main()
    assert len(DRAWN) == 3  # nothing is lacking now
    main(COLD)
    assert DRAWN[3].startswith("cold-")


def test_choices_name_what_is_confused_and_what_waits(known: Catalogue, records: Path) -> None:
    assert [one.words for one in choices(known, kept_records())][:2] == [("",), ("easy",)]
    Learner(records).did("2001-02-06", COLD, STUCK, passed=False)
    draw(known, f"{WORD}-1")
    _any, mixed, *_others = choices(known, kept_records())
    assert mixed.words == (WORD,) and mixed.ready and mixed.told == "what I confuse: 1 pair of faults"
    assert next_number(known, WORD, ()) == f"{WORD}-1"
    assert numbers.kind_of(f"draw-{next_number(known, WORD, {f'draw-{WORD}-1'})}") == WORD


def test_a_drawn_job_that_cannot_be_read_is_passed_over(known: Catalogue) -> None:
    name = draw(known, "1")
    draw(known, "2", "a-fault-of-another-version")
    (drawn_folder("draw-3") / "jobs").mkdir(parents=True)
    (drawn_folder("draw-3") / "jobs" / "draw-3.yaml").write_text("id: [", encoding="utf-8")
    assert [job.id for jobs in waiting(known, ()).values() for job in jobs] == [name]
    assert NONE not in {fault for jobs in waiting(known, ()).values() for job in jobs for fault in job.faults}
