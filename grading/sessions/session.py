"""A session: one person's work on one job, recorded action by action."""

from __future__ import annotations

import threading
from typing import Any

import numpy as np

from grading.sessions.message_data import to_data
from grading.sessions.modes import FREE, GUIDED, RUNGS, Mode
from grading.sessions.outcome import Outcome, Reading, SafetyEvent
from grading.sessions.perception import notice, sentences, shows_heat
from grading.sessions.record import FORMAT, RecordEntry, Recorder, cautions_given
from grading.sessions.versions import catalogue_hash, engine_hash, program_version
from scenarios.actions import ALSO, CONTROLS, PHYSICAL, VERBS, Action, NotPossible, standing
from scenarios.arrival import arriving_vehicle, open_workshop
from scenarios.consequences import consequences
from scenarios.hazards import hazard_exists
from scenarios.language import N_, _, say
from scenarios.model import Catalogue, Caution, Check, Job, Repair
from scenarios.physics_failure import IN_THE_JOB, PhysicsFailed, require_solved
from scenarios.watching import RedWatch
from scenarios.workshop import Performed
from sim.observation.instruments import INSTRUMENTS
from sim.vehicle.states import OVERHEATING
from sim.vehicle.tolerances import uniform

SUSPECT_MARKS = (N_("likely"), N_("maybe"), N_("unlikely"), N_("out"))
"""Ratings that a learner can give a suspect."""
SAMPLE_SECONDS = 2.0
NOTICES_AGAIN_MINUTES = 5.0
"""Duration of an action [min] after which unchanged signs are perceived again, with new noise."""
HARM_K_MIN = 20.0
"""Overheating of the metal above its harmful temperature at which the engine is damaged [K min] (ours)."""
SWITCH_OFF = Action("ignition", ("off",))
LONGEST_TEXT = 2_000
"""Most characters of a text in a record."""
MOST_ARGUMENTS = 8


class Session:
    """A job in progress. Physics is in ``workshop``; this class reads instruments and keeps notes and the record."""

    def __init__(
        self,
        catalogue: Catalogue,
        job: Job,
        seed: int,
        recorder: Recorder | None = None,
        mode: Mode | None = None,
        *,
        candidate: str | None = None,
        rubric: str = "",
    ) -> None:
        """Start a new session.

        recorder: in memory if not given; mode: free if not given; candidate: name for an assessor's records; rubric:
        hash of the rubric in force. Raises OSError if the record cannot be written, PhysicsFailed if the equations of
        its vehicle cannot be solved.
        """
        self.catalogue, self.job, self.seed = catalogue, job, seed
        self.mode = mode or Mode(FREE)
        self.vehicle = catalogue.vehicles[job.vehicle]
        parameters, good = arriving_vehicle(catalogue, job, seed)
        self.workshop = open_workshop(catalogue, job, parameters, good, SAMPLE_SECONDS)
        require_solved(self.workshop.fleet, IN_THE_JOB)
        self.recorder = recorder or Recorder(None)
        self.readings: list[Reading] = []
        self.safety: list[SafetyEvent] = []
        self.suspects: dict[str, str] = {}
        self._declared: list[Action] = []
        """All diagnoses declared so far."""
        self.repairs: list[str] = []
        self.finished = False
        self.switches_off = True
        """Whether an engine in the red is switched off automatically; False in a replay, which follows its record."""
        self._in_the_red = False
        self._red = RedWatch()
        self.closed_because = ""
        """Why the session ended before hand-back; empty while it is open."""
        self._at_work = threading.Lock()
        self._repetitions: dict[tuple[str, str], int] = {}
        self._noticed: dict[str, int] = {}
        self._glances = 0
        first: dict[str, Any] = {
            "format": FORMAT,
            "program": program_version(),
            "engine": engine_hash(),
            "catalogue": catalogue_hash(catalogue),
            "rubric": rubric,
            "job": job.id,
            "seed": seed,
            **self.mode.to_record(),
        }
        if candidate is not None:
            first["candidate"] = candidate
        self.recorder.write("job", **first)

    @classmethod
    def of_record(cls, catalogue: Catalogue, job: Job, entries: list[RecordEntry], recorder: Recorder) -> Session:
        """A session with the first line of a record, before its first action."""
        first = entries[0].data
        mode, candidate = Mode.of_record(first), first.get("candidate")
        rubric = str(first.get("rubric", ""))
        return cls(catalogue, job, int(first["seed"]), recorder, mode, candidate=candidate, rubric=rubric)

    @property
    def minute(self) -> float:
        """Minutes since the job began."""
        return self.workshop.minute

    @property
    def diagnoses(self) -> dict[str, float]:
        """The diagnoses in force, the latest last: fault to confidence 0..1."""
        stand = (self._declared[index] for index in standing(self._declared))
        return {action.text(0): action.number(1) / 100.0 for action in stand}

    @property
    def diagnosis(self) -> tuple[str, float] | None:
        """The last diagnosis in force: fault and confidence 0..1; None if there is none."""
        return next(reversed(self.diagnoses.items()), None)

    def do(self, action: Action, wait: bool = False) -> Outcome:
        """Do one action. An impossible one is returned as ``refused``; it changes nothing and is not recorded.

        Only one action runs at a time: another one, from any thread, is refused or, with wait, waits. If the record
        cannot be written, the session is closed, as the vehicle has changed and the record has not.
        """
        if not self._at_work.acquire(blocking=wait):
            return Outcome(action, refused=_("one thing at a time: the last action is still going on"))
        try:
            outcome = self._do(action)
            return self._switch_off(outcome) if self.must_switch_off and self.switches_off else outcome
        finally:
            self._at_work.release()

    @property
    def must_switch_off(self) -> bool:
        """Whether an action ended with the needle in the red and the engine still runs."""
        return self._in_the_red and self.workshop.control("engine") > 0.5 and not self.finished

    def go_on(self) -> None:
        """Continue after a replay: an engine that the record left in the red is switched off."""
        self.switches_off = True
        if self.must_switch_off:
            self._switch_off(Outcome(SWITCH_OFF))

    def _switch_off(self, outcome: Outcome) -> Outcome:
        """Switch off in the red as a recorded action; return the outcome with the results of both."""
        off = self._do(SWITCH_OFF)
        if off.refused is not None:
            return off if self.closed_because else outcome
        outcome.said.append(_("The needle is in the red. You switch the engine off: it must not run on."))
        outcome.safety += off.safety
        latest = {seen.label: seen for seen in (*outcome.noticed, *off.noticed)}
        outcome.noticed = list(latest.values())
        return outcome

    def _do(self, action: Action) -> Outcome:
        outcome = Outcome(action)
        outcome.refused = self._refusal(action)
        if outcome.refused is not None:
            return outcome
        started = self.minute
        try:
            if action.verb in PHYSICAL:
                self._act(action, outcome)
            else:
                self._mark(action, outcome)
        except NotPossible as error:
            outcome.refused = str(error)
            return outcome
        except PhysicsFailed as error:
            outcome.refused, outcome.failure = str(error), error
            return outcome
        self.safety += outcome.safety
        try:
            self._record(outcome, started)
        except OSError as error:
            self.closed_because = say("the record could not be written ({reason}): the job ends here", reason=error)
            self.finished = False
            return Outcome(action, refused=self.closed_because)
        return outcome

    def _refusal(self, action: Action) -> str | None:
        """Why an action is refused regardless of its content; None if it is not."""
        if self.finished:
            return _("the keys are handed back: this job is over")
        if self.closed_because:
            return self.closed_because
        if action.verb not in VERBS:
            return say("there is no action '{verb}', expected one that 'help' lists", verb=action.verb)
        longest = max((len(text) for text in action.arguments if isinstance(text, str)), default=0)
        if longest > LONGEST_TEXT:
            values = {"length": longest, "most": LONGEST_TEXT}
            return say("the text has {length} characters, expected at most {most}", **values)
        if len(action.arguments) > MOST_ARGUMENTS:
            return _("there are too many words, expected what 'help' lists")
        return None

    def _record(self, outcome: Outcome, started: float) -> None:
        action = outcome.action
        said: dict[str, Any] = {} if action.message is None else {"message": to_data(action.message)}
        self.recorder.write(
            "action",
            synced=action.verb not in CONTROLS,
            verb=action.verb,
            arguments=list(action.arguments),
            minute=round(started, 3),
            minutes=round(outcome.minutes, 3),
            readings=[
                {
                    "label": r.label,
                    "instrument": r.instrument,
                    "step": r.step,
                    "shown": r.shown,
                    "minute": round(r.minute, 3),
                }
                for r in outcome.readings
            ],
            noticed=[{"label": seen.label, "step": seen.step, "shown": seen.shown} for seen in outcome.noticed],
            safety=[{"what": event.what, "critical": event.critical} for event in outcome.safety],
            **said,
        )
        if self.finished:
            self.recorder.write("end")

    def unseen_cautions(self, thing: Check | Repair) -> list[Caution]:
        """Cautions that were not given yet, of hazards that will exist once the needs of a check or repair are met."""
        given, said = cautions_given(self.recorder.entries), self.catalogue.cautions_of(self.vehicle, thing)
        return [one for one in said if one.id not in given and hazard_exists(self.workshop, one, thing)]

    def draft(self, what: str, text: str) -> None:
        """Record an unfinished text, cut at LONGEST_TEXT; what: the note that it is a draft of. Raises OSError."""
        self._write("draft", what=what, text=text[:LONGEST_TEXT])

    def predict(self, check: str, expects: str, bands: list[dict[str, Any]]) -> None:
        """Record a prediction, except in an exam; arguments as in a line of that kind. Raises OSError."""
        if not self.mode.exam:
            self._write("prediction", check=check, expects=expects, bands=bands)

    def _write(self, kind: str, **values: Any) -> None:
        with self._at_work:
            if not self.finished and not self.closed_because:
                self.recorder.write(kind, **values)

    def close(self) -> None:
        """Close the record after the running action. Raises OSError."""
        with self._at_work:
            self.recorder.close()

    def let_go(self) -> None:
        """Close the session between two actions, as another process takes over its record."""
        with self._at_work:
            self.closed_because = self.closed_because or _("the job goes on elsewhere: nothing more is recorded here")
            self.recorder.close()

    def _act(self, action: Action, outcome: Outcome) -> None:
        harm = float(self.workshop.fleet.state[0, OVERHEATING])
        parts = self.workshop.fleet.parameters[0].copy()
        self._red.before(self.workshop.control("engine") > 0.5)
        done = self._perform(action)
        outcome.minutes = done.minutes
        self._note_cap_safety(done, outcome)
        if harm < HARM_K_MIN <= float(self.workshop.fleet.state[0, OVERHEATING]):
            outcome.safety.append(
                SafetyEvent(self.minute, N_("ran the engine while it overheated: it is harmed"), False)
            )
            outcome.said.append(_("The engine is badly overheated. Running it on ruins its head gasket."))
        outcome.action = done.action
        self._in_the_red = done.in_the_red
        if done.broken_off:
            outcome.said.append(_("The needle went into the red. You stopped at once."))
        if done.scalded is None or not done.scalded[0]:
            self._read(action.text(0) if action.verb == "check" else action.verb, done, outcome)
        if action.verb == "repair":
            self._note_repair(self.catalogue.repairs[action.text(0)], parts, outcome)
        if outcome.minutes >= NOTICES_AGAIN_MINUTES:
            self._glances += 1
            self._noticed.clear()
        now = notice(self.workshop, self._noise_quantiles)
        outcome.noticed = [seen for seen in now if self._noticed.get(seen.label) != seen.step]
        self._noticed |= {seen.label: seen.step for seen in now}
        hot = done.in_the_red or shows_heat(now)
        runs = self.workshop.control("engine") > 0.5
        if error := self._red.after(self.workshop.fleet, runs, outcome.minutes, hot):
            outcome.safety.append(SafetyEvent(self.minute, error, True))

    def _perform(self, action: Action) -> Performed:
        """Apply an action to the vehicle. Raises PhysicsFailed, with the vehicle restored, if it cannot be solved."""
        before = self.workshop.copy()
        done = self.workshop.perform(action)
        try:
            require_solved(self.workshop.fleet, IN_THE_JOB)
        except PhysicsFailed:
            before.world.continue_samples(self.workshop.world)
            self.workshop = before
            raise
        return done

    def _noise_quantiles(self, label: str, instrument: str) -> tuple[float, float]:
        """Quantiles for perceptions, constant between looks so that a word changes only with its cause."""
        noise = uniform("sense", self.job.id, self.seed, label, self._glances)
        return noise, self._offset(instrument)

    def _offset(self, instrument: str) -> float:
        """Quantile of an instrument's offset in this job."""
        return uniform("offset", self.job.id, self.seed, instrument)

    def _read(self, source: str, done: Performed, outcome: Outcome) -> None:
        for spec, true, minute in done.readings:
            instrument = INSTRUMENTS[spec.instrument]
            key = (source, spec.label)
            repetition = self._repetitions[key] = self._repetitions.get(key, -1) + 1
            chance = uniform("reading", self.job.id, self.seed, *key, repetition)
            step = instrument.read(float(true[0]), chance, self._offset(spec.instrument))
            shown, number = instrument.show(step), len(self.readings) + 1
            self.readings.append(Reading(number, minute, source, spec.label, instrument.name, step, shown))
            outcome.readings.append(self.readings[-1])

    def _note_repair(self, repair: Repair, before: np.void, outcome: Outcome) -> None:
        """Note dangerous work and its consequences; before: the vehicle's parameters before the repair."""
        self.repairs.append(repair.id)
        outcome.said.append(say("done: {repair}", repair=_(repair.name)))
        if repair.hazard:
            outcome.safety.append(SafetyEvent(self.minute, repair.hazard, True))
        for one in consequences(before, self.workshop.fleet.parameters[0], repair):
            outcome.said.append(_(one.message))
            if one.safety_error:
                outcome.safety.append(SafetyEvent(self.minute, one.safety_error, one.critical))

    def _note_cap_safety(self, done: Performed, outcome: Outcome) -> None:
        if done.scalded is not None and done.scalded[0]:
            outcome.safety.append(
                SafetyEvent(self.minute, N_("opened the cap under pressure: scalded by hot coolant"), True)
            )
            outcome.said.append(_("Hot coolant shoots out of the neck over your hands and face. You are burnt."))
        elif done.unsafe is not None and done.unsafe[0]:
            outcome.safety.append(SafetyEvent(self.minute, N_("opened the cap while the coolant was hot"), True))
            outcome.said.append(_("Steam comes off the neck. It did not spit this time. It could have."))

    def _mark(self, action: Action, outcome: Outcome) -> None:
        if action.verb == "suspect":
            self._known_fault(action.text(0))
            if action.text(1) not in SUSPECT_MARKS:
                raise NotPossible(
                    say(
                        "a suspect cannot be '{mark}', expected one of: {marks}",
                        mark=action.text(1),
                        marks=", ".join(SUSPECT_MARKS),
                    )
                )
            self.suspects[action.text(0)] = action.text(1)
            name = _(self.catalogue.faults[action.text(0)].name)
            outcome.said.append(say("noted: {fault}: {mark}", fault=name, mark=_(action.text(1))))
        elif action.verb == "diagnose":
            self._declare(action, outcome)
        elif action.verb == "note":
            outcome.said.append(_("noted"))
        elif action.verb == "hint":
            if self.mode.name != GUIDED:
                values = {"mode": self.mode.name, "guided": GUIDED}
                raise NotPossible(
                    say("there are no hints in mode {mode}, expected a job begun in mode {guided}", **values)
                )
            if len(action.arguments) != 2 or action.arguments[0] not in RUNGS or action.message is None:
                raise NotPossible(
                    say(
                        "this is not a hint, expected one of {rungs}, what it is about, and its text",
                        rungs=", ".join(RUNGS),
                    )
                )
            outcome.said.append(_(action.message))
        elif action.verb == "handback":
            self.finished = True

    def _declare(self, action: Action, outcome: Outcome) -> None:
        """Declare a fault, instead of or in addition to earlier diagnoses."""
        self._known_fault(action.text(0))
        if not 0.0 <= action.number(1) <= 100.0:
            raise NotPossible(say("confidence cannot be {value:g}, expected 0 to 100", value=action.number(1)))
        if action.arguments[2:] not in ((), (ALSO,)):
            raise NotPossible(say("expected '{also}' or nothing after the confidence", also=ALSO))
        self._declared.append(action)
        fault = self.catalogue.faults[action.text(0)]
        words = {"part": _(fault.part), "mode": _(fault.mode)}
        outcome.said.append(say("diagnosis: {part}: {mode}, {sure:g} % sure", sure=action.number(1), **words))

    def _known_fault(self, name: str) -> None:
        fault = self.catalogue.faults.get(name)
        if fault is None or not fault.fits(self.vehicle):
            raise NotPossible(
                say("there is no fault '{name}' on this vehicle, expected one that 'look' lists", name=name)
            )

    def perceived(self) -> list[str]:
        """Present perceptions at the person's place, as sentences."""
        return sentences(self.workshop, self._noise_quantiles)
