"""What a technician does around a check or repair: engine, controls, cautions, and the wait for a cold engine."""

from __future__ import annotations

from grading.sessions.outcome import Outcome
from grading.sessions.session import Session
from grading.technicians.notes import Notes
from scenarios.actions import Action
from scenarios.model import Check, Repair
from sim.vehicle.tolerances import uniform

WARM_UP_MINUTES, WARM_UP_KMH = 15.0, 50.0
"""Drive after which an engine is warm if it can be (common practice, no source)."""
COOL_MINUTES = 420.0
"""Standing after which any cap may come off (common practice, no source)."""
HOT_DAY_C, OVERNIGHT_MINUTES = 15.0, 600.0
"""Weather in which it takes longer, and how long (common practice, no source)."""
REST_MINUTES = 60.0
"""Standing after which an engine that was in the red may run for a moment (common practice, no source)."""
KEEPS_MINUTES = 20.0
"""Standing after which a warm engine is no longer one (common practice, no source)."""
COLD_MINUTES, FAST_IDLE_RPM = 2.0, 1800.0


class Hands:
    """A session and the notes of who works at it; heedless: chance of passing over a caution."""

    def __init__(self, session: Session, notes: Notes, heedless: float = 0.0) -> None:
        self.session, self.notes, self.heedless = session, notes, heedless
        self.minutes_run = self.stood = 0.0
        self.was_red = False
        self.done: list[str] = []

    def do(self, verb: str, *arguments: str | float) -> Outcome:
        """Do something, and write down what it shows."""
        outcome = self.session.do(Action(verb, arguments))
        if outcome.refused is None:
            self.notes.take(str(arguments[0]) if verb == "check" else verb, outcome)
            ran = self.engine_runs or verb in ("drive", "idle", "rev")
            check = self.session.catalogue.checks.get(str(arguments[0])) if verb == "check" else None
            if ran or (check is not None and check.runs_engine):
                self.minutes_run += outcome.minutes
                self.stood = 0.0
            elif outcome.minutes >= COOL_MINUTES:
                self.minutes_run = 0.0
            else:
                self.stood += outcome.minutes
            if any(line.startswith("The needle is in the red") for line in outcome.said):
                self.was_red = True
                self.notes.noticed.add(("gauge seen", "in the red"))
        return outcome

    @property
    def engine_runs(self) -> bool:
        """Whether the engine runs."""
        return self.session.workshop.control("engine") > 0.5

    @property
    def cold(self) -> bool:
        """Whether the engine may still be called cold."""
        return self.minutes_run <= COLD_MINUTES

    @property
    def warm(self) -> bool:
        """Whether the engine has run long enough, and not stood too long since."""
        return self.minutes_run >= WARM_UP_MINUTES - 1.0 and self.stood <= KEEPS_MINUTES

    def wants_cold(self, thing: Check | Repair) -> bool:
        """Whether something wants a cold engine."""
        return thing.opens_cap or (isinstance(thing, Check) and "cold" in thing.best_when)

    def warms(self, check: Check) -> bool:
        """Whether the engine is run warm for a check: an automatic control holds the blower back until then."""
        blows = any(reading.sets.get("blower", 0.0) > 0.0 for reading in check.readings)
        held_back = blows and "automatic-control" in self.notes.equipment and "cold" not in check.best_when
        return held_back or bool({"warm", "fast-idle"} & set(check.best_when)) or check.drive_kmh > 0.0

    def off(self) -> None:
        """Engine and ignition off."""
        if self.engine_runs or self.session.workshop.control("ignition") > 0.5:
            self.do("ignition", "off")

    def cool(self, minutes: float = COOL_MINUTES) -> None:
        """Let it stand, longer on a hot day."""
        self.off()
        if minutes >= COOL_MINUTES and self.session.job.ambient_C > HOT_DAY_C:
            minutes = max(minutes, OVERNIGHT_MINUTES)
        self.do("wait", minutes)
        self.was_red = False

    def start(self) -> None:
        """Start the engine, after a rest where it was in the red."""
        if self.was_red:
            self.cool(REST_MINUTES)
        if not self.engine_runs:
            self.do("engine", "start")

    def turn(self, control: str, value: float) -> None:
        """Set heater (0..100) or blower."""
        now = self.session.workshop.control(control) * (100.0 if control == "heater" else 1.0)
        if abs(now - value) > 1e-9:
            self.do("set", control, value)

    def warm_up(self) -> None:
        """Drive until it is warm, the heater at full hot."""
        self.start()
        self.turn("heater", 100.0)
        self.turn("blower", 1.0)
        self.do("drive", WARM_UP_MINUTES, WARM_UP_KMH)

    def check(self, check: Check) -> bool:
        """Bring about what a check wants and take it; whether it could be done."""
        self.done.append(check.id)
        self._bring_about(check)
        self._heed(check)
        return self.do("check", check.id).refused is None

    def _bring_about(self, check: Check) -> None:
        wanted, needs = check.best_when, check.needs
        if self.wants_cold(check) and not self.cold:
            self.cool()
        hot_needle = self.was_red and "engine-running" not in needs  # it is warm enough, and must not run
        if self.warms(check) and not self.warm and not hot_needle:
            self.warm_up()
        if "heater-hot" in wanted:
            self.turn("heater", 100.0)
        if "blower-low" in wanted:
            self.turn("blower", 1.0)
        if "blower-high" in wanted:
            self.turn("blower", 4.0)
        if "engine-running" in needs or check.drive_kmh > 0.0:
            self.start()
        if "fast-idle" in wanted and not hot_needle:
            self.start()
            self.do("rev", FAST_IDLE_RPM, 2.0)
        elif check.id == "outlets-by-hand" and "vacuum-doors" in self.notes.equipment:
            self.start()
            self.do("idle", 1.0)
        elif "idled" in wanted or ("engine-running" in needs and "cold" not in wanted):
            self.start()
            self.do("idle", 0.5)
        if "ignition-off" in needs or ("engine-off" in needs and self.engine_runs):
            self.off()
        if "ignition-on" in needs and not self.engine_runs:
            self.do("ignition", "on")

    def repair(self, repair: Repair) -> bool:
        """Do a repair with the engine as needed, cold if a cap is opened; returns whether it was possible."""
        if repair.opens_cap and (self.minutes_run > 0.0 or self.was_red):
            self.cool()
        if "ignition-on" in repair.needs:
            self.do("ignition", "on")
        elif "engine-off" in repair.needs:
            self.off()
        self._heed(repair)
        return self.do("repair", repair.id).refused is None

    def _heed(self, thing: Check | Repair) -> None:
        """Follow the cautions or skip them."""
        for caution in self.session.unseen_cautions(thing):
            luck = uniform("caution", self.session.job.id, self.session.seed, caution.id)
            self.do("note", "caution", caution.id, "skipped" if luck < self.heedless else "heeded")
