"""A job in plain text: commands in, one answer to each, the record written as it happens."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

from grading.marks.rubric import Rubric, load_rubric
from grading.sessions.modes import GUIDED
from grading.sessions.openings import give_up, hand_in, time_is_up
from grading.sessions.record import as_bytes, read_bytes
from grading.sessions.session import Session
from scenarios.actions import Action, NotPossible
from scenarios.files.data_error import quoted
from scenarios.language import N_, _, say
from scenarios.model import Catalogue, Check, Fault, Repair
from scenarios.physics_failure import PhysicsFailed
from tui.presentation import situation
from tui.presentation.between_jobs.another_vehicle import complaint_word
from tui.presentation.clean import clean
from tui.presentation.desk import Desk
from tui.presentation.exam_clock import ExamClock
from tui.presentation.figures import doubt_of, within
from tui.presentation.first_step import first_step
from tui.presentation.marking.marks_ahead import MarksAhead, graded_ahead
from tui.presentation.notebook import difference, notebook, ordered, short_line
from tui.presentation.process.console import complain
from tui.presentation.sound import Sound, normal, what_came_of_it
from tui.presentation.stages import next_step
from tui.presentation.units import Units
from tui.text import answers
from tui.text.answers import Answer
from tui.text.changes import Seen, changed, seen
from tui.text.matching import meant
from tui.text.phrases import EXPECTED, LOOKED_AT, ORDERS, PHRASES, WRITTEN, parse

TIME_IS_UP = "time is up"
"""Stands for the line that a person would have typed."""
GO_ON, BACK = ("", "go on"), "back"
"""Answers to a question: an empty line goes on."""


PUT_AWAY = N_("Give the job up? Its record is put away: it cannot be gone on with, and counts for nothing.")


class TextJob:
    """One job as a conversation; ``over`` once the keys are handed back or the person has left.

    asks: say a caution before the act and wait for an answer, as one does with a person; otherwise it is said along
    with the act. units: as last chosen. rubric: the packaged one if not given. ahead: the process that
    prepares its marks.
    """

    def __init__(
        self,
        catalogue: Catalogue,
        session: Session,
        asks: bool = False,
        units: Units = "si",
        rubric: Rubric | None = None,
        ahead: MarksAhead | None = None,
    ) -> None:
        self.rubric, self.ahead = rubric or load_rubric(), ahead
        self.catalogue, self.session, self.asks, self.over = catalogue, session, asks, False
        self.units: Units = units
        self.desk = Desk(session)
        self._guide = None
        self.sound = Sound(session)
        self._listed: list[str] = []
        """Ids of the last list, which numbers refer to."""
        self._seen: Seen | None = None
        self._waiting: Action | None = None
        self._question: Callable[[], Answer] | None = None
        """What is done where a question is answered with yes."""
        self.put_away = False
        """Whether the job was given up."""
        self.clock = ExamClock(session.mode)

    @property
    def record(self) -> str:
        """The path of the record, for people."""
        return str(self.session.recorder.path or _("in memory only"))

    def answer(self, line: str) -> Answer:
        """The answer to one line. A bad one is answered with an error and changes nothing."""
        if time_is_up(self.session):
            return self.time_is_up()
        try:
            waiting, self._waiting = self._waiting, None
            question, self._question = self._question, None
            if question is not None and clean(line) in GO_ON:
                return {"command": clean(line), **question()}
            if question is not None and clean(line) == BACK:
                return {"command": clean(line), **answers.told(self.session, _("left as it is"))}
            if waiting is not None and (answer := self._cautioned(waiting, clean(line))):
                return {"command": clean(line), **answer}
            return {"command": clean(line), **self._answer(parse(line))}
        except (NotPossible, PhysicsFailed) as error:
            return {"command": clean(line), "error": str(error)}

    def time_is_up(self) -> Answer:
        """Hand an exam in as it stands."""
        hand_in(self.session)
        return {"command": TIME_IS_UP, **self._end({"said": [_("time is up: the job is handed in as it stands")]})}

    @property
    def waits(self) -> bool:
        """Whether a caution or a question waits for an answer."""
        return self._waiting is not None or self._question is not None

    def _whole(self, action: Action) -> Action:
        """The action with the names that are meant in place of short ones."""
        place = {"check": 0, "repair": 0, "cautions": 0, "skip": 1, "suspect": 0, "diagnose": 0, "predict": 0}
        if action.verb not in place:
            return action
        kind = action.text(0) if action.verb == "skip" else action.verb
        names = self._names(kind)
        at, given = place[action.verb], list(action.arguments)
        known = self.catalogue.checks.keys() | self.catalogue.repairs.keys() | self.catalogue.faults.keys()
        if given[at] not in known - names.keys():  # what this vehicle does not have is not taken for something else
            given[at] = meant(str(given[at]), names, self._listed)
        return Action(action.verb, tuple(given))

    def _names(self, verb: str) -> dict[str, str]:
        """Id to name of what a verb can be about on this vehicle."""
        catalogue, vehicle = self.catalogue, self.session.vehicle
        things: list[Check | Repair | Fault] = []
        if verb in ("check", "predict", "cautions"):
            things += catalogue.checks_of(vehicle)
        if verb in ("repair", "cautions"):
            things += catalogue.repairs_of(vehicle)
        if verb in ("suspect", "diagnose"):
            things += catalogue.faults_of(vehicle)
        return {thing.id: _(thing.name) for thing in things}

    def completions(self, line: str) -> list[str]:
        """Whole lines that a line may become."""
        verb, space, rest = line.partition(" ")
        if not space:
            return [f"{name} " for name in PHRASES if name.startswith(verb)]
        if verb == "skip":
            kind, space, rest = rest.partition(" ")
            verb = f"skip {kind}"
            return [f"{verb} {name}" for name in self._names(kind) if name.startswith(rest)] if space else []
        return [f"{verb} {name}" for name in self._names(verb) if name.startswith(rest)]

    def _changed(self) -> list[str]:
        """What has changed since the last look; from now on this is the last one."""
        before, self._seen = self._seen, seen(self.session)
        return changed(before, self._seen) if before is not None else []

    def _answer(self, action: Action) -> Answer:
        action = self._whole(action)
        match action.verb:
            case "look" | "checks" | "repairs" | "faults":
                return self._look(action.verb, " ".join(map(str, action.arguments)))
            case "changed":
                return answers.told(self.session, "") | {"said": self._changed() or [_("nothing has changed")]}
            case "card":
                return answers.card(self.session, self.rubric)
            case "readings":
                notes = ordered(notebook(self.session), action.text(0) if action.arguments else ORDERS[0])
                return answers.readings(self.session, notes)
            case "compare":
                return self._compare(action)
            case "help":
                return answers.phrases()
            case "units":
                self.units = "us" if action.text(0) == "us" else "si"
                us = self.units == "us"
                said = _("figures are in °F and psi") if us else _("figures are in °C and kPa")
                return answers.told(self.session, said)
            case "undo":
                undone = self.desk.undo()
                if undone is None:
                    raise NotPossible(
                        _("there is no mark to take back, expected one that was set since the job was opened")
                    )
                return answers.told(self.session, _("the last mark is taken back"))
            case "hint":
                return self._hint()
            case "cautions":
                return self._read_cautions(action)
            case "predict":
                return self._predict(action)
            case "skip":
                return self._do(Action(action.text(0), action.arguments[1:]), "skipped")
            case "quit":
                self.over = True
                return {"quit": True, "record": self.record}
            case "put":
                return self._ask(_(PUT_AWAY), self._put_away)
        first = first_step(self.session, action)
        asked = [first.offer] if first else []
        asked += [doubt] if self.asks and (doubt := self._doubt(action)) else []
        if self.asks and asked and within(action):
            return self._ask(" ".join(asked), lambda: self._cautioned_or_done(action))
        if first is not None:
            outcome = self.session.do(action)
            return answers.done(self.session, outcome) | ({"first": first.command} if outcome.refused else {})
        return self._cautioned_or_done(action)

    def _ask(self, text: str, then: Callable[[], Answer]) -> Answer:
        """Ask a person first, where there is one to answer."""
        if not self.asks:
            return then()
        self._question = then
        return {"question": text, "asks": True}

    def _doubt(self, action: Action) -> str | None:
        """What to ask before an action that is hardly meant, None where it may be."""
        if action.verb == "handback" and situation.untouched(self.session):
            return f"{_(situation.NOTHING_DONE)} " + _("Hand back the keys all the same?")
        return doubt_of(action)

    def _put_away(self) -> Answer:
        path = self.session.recorder.path
        if self.session.mode.exam:
            raise NotPossible(_("this is an exam, expected it handed in: 'handback'"))
        if path is None:
            raise NotPossible(_("there is no record to put away, expected 'quit'"))
        self.session.close()
        give_up(path)
        self.over = self.put_away = True
        return {"put_away": True, "record": self.record}

    def _cautioned_or_done(self, action: Action) -> Answer:
        if self.asks and (cautions := self._cautions(action)) and self._fits(action):
            self._waiting = action
            return {"cautions": cautions, "asks": True}
        return self._do(action, "heeded")

    def _do(self, action: Action, caution: str) -> Answer:
        """Do an action; caution: what the record says of those not yet said."""
        if action.verb == "note" and action.text(0) == "mark":
            self._require_reading(action.number(1))
            outcome = self.desk.mark_reading(int(action.number(1)), action.text(2).removeprefix("none"))
            return answers.done(self.session, outcome) | {
                "said": [say("reading {number:g} marked {mark}", number=action.number(1), mark=_(action.text(2)))]
            }
        if action.verb == "suspect":
            return answers.done(self.session, self.desk.suspect(action.text(0), action.text(1)))
        cautions = self._cautions(action)
        while self.asks and (first := first_step(self.session, action)) is not None:
            outcome = self.session.do(first.action)
            if outcome.refused is not None:
                return answers.done(self.session, outcome)
        said_before = caution == "skipped"
        if said_before:
            self._note_cautions(action, cautions, caution)
        outcome = self.session.do(action)
        bands = self.sound.bands(outcome) if outcome.refused is None else []
        outcome.said += [*what_came_of_it(self.session, outcome), *filter(None, [normal(self.session, outcome)])]
        if action.verb == "note" and action.text(0) in WRITTEN and outcome.refused is None:
            outcome.said += short_line(action.text(1))
        if not said_before and outcome.refused is None:
            self._note_cautions(action, cautions, caution)
        if action.verb in ("diagnose", "repair") and outcome.refused is None:
            outcome.said.append(next_step(self.session))
        answer = answers.done(self.session, outcome, bands)
        if cautions and not said_before and outcome.refused is None:
            answer["cautions"] = cautions
        return self._end(answer) if self.session.finished else answer

    def _end(self, answer: Answer) -> Answer:
        self.over = True
        grade, job = self._grade(), self.session.job
        again = bool(grade["passed"]) and complaint_word(self.catalogue, job) is not None
        return answer | {"job": job.id, "grade": grade, "record": self.record, "same_complaint": again}

    # -- cautions ---------------------------------------------------------------------------------------------------

    def _cautioned(self, action: Action, line: str) -> Answer | None:
        """What follows a caution that was said; None where the line is a command of its own: a step back."""
        cautions = self._cautions(action)
        if line in GO_ON:
            self._note_cautions(action, cautions, "heeded")
            return self._do(action, "heeded")
        if line == "skip":
            return self._do(action, "skipped")
        self._note_cautions(action, cautions, "heeded")
        return answers.told(self.session, _("you stepped back")) if line == BACK else None

    def _note_cautions(self, action: Action, cautions: list[Answer], how: str) -> None:
        for caution in cautions:
            self.session.do(Action("note", ("caution", caution["id"], how)))

    def _read_cautions(self, action: Action) -> Answer:
        """Say the cautions of a check or repair without doing it."""
        name = action.text(0)
        thing = next(
            (Action(verb, (name,)) for verb in ("check", "repair") if self._thing(Action(verb, (name,)))), None
        )
        if thing is None:
            raise NotPossible(say("there is no check or repair '{name}', expected one that 'look' lists", name=name))
        cautions = self._cautions(thing)
        self._note_cautions(thing, cautions, "heeded")
        nothing = _("no caution applies, or it has been given already")
        return {"cautions": cautions} if cautions else answers.told(self.session, nothing)

    def _fits(self, action: Action) -> bool:
        thing = self._thing(action)
        return thing is not None and thing.fits(self.session.vehicle)

    def _thing(self, action: Action):
        known = {"check": self.catalogue.checks, "repair": self.catalogue.repairs}.get(action.verb, {})
        return known.get(action.text(0)) if known and action.arguments else None

    def _cautions(self, action: Action) -> list[Answer]:
        thing = self._thing(action)
        if thing is None:
            return []
        return [{"id": caution.id, "text": _(caution.text)} for caution in self.session.unseen_cautions(thing)]

    # -- thinking ---------------------------------------------------------------------------------------------------

    def _look(self, verb: str, wanted: str) -> Answer:
        """What can be done; verb: look for all of it, or one kind; wanted: a place, or a part of the names listed."""
        place = LOOKED_AT.get(wanted) if verb == "look" else None
        answer = answers.look(self.session, "" if place else wanted)
        kinds = ("checks", "repairs", "faults")
        for kind in kinds:
            if verb not in ("look", kind) or (place and kind != "checks"):
                answer[kind] = []
        if place:
            answer["checks"] = [check for check in answer["checks"] if check["place"] == place]
        found = [thing for kind in kinds for thing in answer[kind]]
        if wanted and not place and not found:
            told = {"name": quoted(wanted)}
            raise NotPossible(
                say("nothing is called {name}, expected a part of a check's, repair's or fault's name", **told)
            )
        brief = verb == "look" and not wanted
        if not brief:
            self._listed = [thing["id"] for thing in found]
            for number, thing in enumerate(found, 1):
                thing["number"] = number
        return answer | {
            "changed": self._changed() if verb == "look" else [],
            "next": next_step(self.session),
            "list": "brief" if brief else "whole",
        }

    def _predict(self, action: Action) -> Answer:
        """Record the prediction of a check."""
        if self.session.mode.exam:
            raise NotPossible(_("there are no predictions in an exam"))
        check, expects = action.text(0), EXPECTED[action.text(1)]
        if not self._fits(Action("check", (check,))):
            raise NotPossible(say("there is no check '{id}', expected one that 'look' lists", id=check))
        self.sound.predict(check, expects)
        name = _(self.catalogue.checks[check].name)
        return answers.told(self.session, say("{check}: you expect it {expects}", check=name, expects=_(expects)))

    def _compare(self, action: Action) -> Answer:
        notes = {float(note.reading.number): note for note in notebook(self.session)}
        for index in (0, 1):
            self._require_reading(action.number(index))
        return answers.told(self.session, difference(notes[action.number(0)], notes[action.number(1)], self.units))

    def _require_reading(self, number: float) -> None:
        if number not in [note.reading.number for note in notebook(self.session)]:
            raise NotPossible(
                say("there is no reading {number:g}, expected a number that 'readings' lists", number=number)
            )

    def _hint(self) -> Answer:
        """The next step of the hint for this moment, or all of them where nothing more is to be told."""
        from grading.report.hints import Guide, next_hint

        if self.session.mode.name != GUIDED:
            told = {"mode": self.session.mode.name, "guided": GUIDED}
            raise NotPossible(say("there are no hints in mode {mode}, expected --mode {guided}", **told))
        self._guide = self._guide or Guide(self.session)
        ladder = self._guide.ladder()
        hint = next_hint(self.session.recorder.entries, ladder)
        if hint is not None:
            self.session.do(hint.action)
        return answers.hint(ladder, hint, self.rubric)

    def _grade(self) -> Answer:
        from tui.presentation.marking.graded_record import graded_record

        recorder, rubric = self.session.recorder, self.rubric
        self.session.close()
        graded = graded_ahead(self.ahead, recorder.path, lambda share: None)
        if graded is None:
            whole = as_bytes(recorder.entries) if recorder.path is None else read_bytes(recorder.path)
            graded = graded_record(
                self.catalogue, whole, recorder.path or Path("record"), look_ahead=False, rubric=rubric
            )
        if graded.not_kept:
            complain(graded.not_kept)
        return answers.graded(graded.grade, graded.first_page())
