"""A job in plain text: commands in, one answer to each, the record written as it happens."""

from __future__ import annotations

import json
from collections.abc import Iterable
from typing import Literal, TextIO

from grading.session import Session
from scenarios.actions import Action, NotPossible
from scenarios.model import Catalogue
from tui import answers, plain
from tui.answers import Answer
from tui.clean import clean, clean_line
from tui.notebook import notebook, unseen_cautions
from tui.phrases import parse
from tui.units import Units

Format = Literal["json", "plain"]


class TextJob:
    """One job as a conversation; ``over`` once the keys are handed back or the person has left."""

    def __init__(self, catalogue: Catalogue, session: Session) -> None:
        self.catalogue, self.session, self.over = catalogue, session, False

    @property
    def record(self) -> str:
        """The path of the record, for people."""
        return str(self.session.recorder.path or "in memory only")

    def answer(self, line: str) -> Answer:
        """The answer to one line. A bad one is answered with an error and changes nothing."""
        try:
            return {"command": clean(line), **self._answer(parse(line))}
        except NotPossible as error:
            return {"command": clean(line), "error": str(error)}

    def _answer(self, action: Action) -> Answer:
        match action.verb:
            case "look":
                return answers.look(self.session)
            case "card":
                return answers.card(self.session)
            case "readings":
                return answers.readings(self.session)
            case "help":
                return answers.phrases()
            case "quit":
                self.over = True
                return {"quit": True, "record": self.record}
            case "note" if action.text(0) == "mark":
                self._require_reading(action.number(1))
        cautions = self._cautions(action)
        outcome = self.session.do(action)
        if outcome.refused is None:
            for caution in cautions:
                self.session.do(Action("note", ("caution", caution["id"], "told")))
        answer = answers.done(self.session, outcome)
        if action.verb == "note" and action.text(0) == "mark":
            answer["said"] = [f"reading {action.number(1):g} marked {action.text(2)}"]
        if cautions and outcome.refused is None:
            answer["cautions"] = cautions
        if self.session.finished:
            self.over = True
            answer |= {"grade": self._grade(), "record": self.record}
        return answer

    def _require_reading(self, number: float) -> None:
        if number not in [note.reading.number for note in notebook(self.session)]:
            raise NotPossible(f"there is no reading {number:g}, expected a number that 'readings' lists")

    def _cautions(self, action: Action) -> list[Answer]:
        known = {"check": self.catalogue.checks, "repair": self.catalogue.repairs}.get(action.verb, {})
        thing = known.get(action.text(0)) if known else None
        if thing is None:
            return []
        return [{"id": caution.id, "text": caution.text} for caution in unseen_cautions(self.session, thing)]

    def _grade(self) -> Answer:
        from grading.grade import grade_record

        grade = grade_record(self.catalogue, self.session.recorder.entries).to_json()
        self.session.recorder.write("grade", **grade)
        return grade


def converse(job: TextJob, source: Iterable[str], sink: TextIO, form: Format, units: Units) -> None:
    """Answer every line of the source until the job is over or the lines end."""
    for line in source:
        if not line.strip() or line.lstrip().startswith("#"):
            continue
        answer = answers.displayed(job.answer(line), units)
        if form == "json":
            print(json.dumps(answer, allow_nan=False), file=sink, flush=True)
        else:
            print("\n".join(clean_line(text) for text in plain.lines(answer, units)), file=sink, flush=True)
        if job.over:
            return
