"""A technician at a job: takes the round of the complaint, follows rules, names, repairs, proves, and writes it up."""

from __future__ import annotations

import random

from grading.sessions.session import Session
from grading.technicians.hands import Hands
from grading.technicians.notes import Notes
from grading.technicians.proving import prove
from grading.technicians.rounds import COMMON, ROUNDS, RULES, SETTLES
from grading.technicians.rule import PROVES
from grading.technicians.skill import Skill
from scenarios.actions import ALSO
from scenarios.model import COST_CLASSES, Check, Repair
from sim.vehicle.tolerances import uniform

COMMONEST, LESS_COMMON = 1.0, 0.8
"""Weight of the commonest suspect of a complaint before anything is looked at, and its share from one to the next."""
DEAR_MINUTES = 150.0
"""Work and part, in minutes, from which a repair is dear: one more look first."""
INFRARED = 2
"""Level from which hoses are measured rather than felt."""
LIKELY = 4.0
"""Weight from which a suspect is followed up when the round is over."""
GENERAL = (
    "coolant-level-cold",
    "blower-each-speed",
    "vent-temperature",
    "trouble-codes",
    "scan-coolant-temperature",
    "heater-control-codes",
    "outlets-by-hand",
)
"""Checks for when what the complaint begins with has found nothing."""
LOOSE_MINUTES = 10.0
"""Longest check that is done for no reason."""
RETAKEN = (
    "vent-temperature",
    "vent-temperature-on-the-road",
    "heater-feed-touch",
    "heater-return-touch",
    "heater-feed-infrared",
    "heater-return-infrared",
    "coolant-level-cold",
    "overflow-level",
    "blower-each-speed",
    "blower-listen",
    "gauge",
    "scan-coolant-temperature",
    "vent-at-idle-and-revved",
    "trouble-codes",
    "rear-vent-temperature",
    "vent-at-cold",
    "fogged-glass",
)
"""Checks that tell of the vehicle as it was: forgotten after a repair that did not cure it."""


class Technician:
    """A session and who works at it."""

    def __init__(self, session: Session, skill: Skill) -> None:
        self.session, self.skill = session, skill
        self.notes = Notes(session, skill.misreads)
        self.hands = Hands(session, self.notes, skill.heedless)
        self.rules = [rule for rule in RULES if rule.level <= skill.level]
        self.found: list[str] = []
        """Suspects that were declared and stand."""
        self.out: set[str] = set()
        """Suspects that a repair for them did not cure."""
        faults = session.catalogue.faults_of(session.vehicle)
        self.suspects = [fault.id for fault in faults]

    # -- thinking -------------------------------------------------------------------------------------------------

    def weights(self) -> dict[str, float]:
        """Weight of each suspect by the rules, after what is common."""
        weight = dict.fromkeys(self.suspects, 0.0)
        for kind in self.notes.complaints:
            for place, name in enumerate(COMMON[kind].split()):
                if name in weight:
                    weight[name] += COMMONEST * LESS_COMMON**place
        for rule in self.rules:
            if rule.when(self.notes):
                for name, points in rule.weights.items():
                    if name in weight:
                        weight[name] += points
        for name in (*self.out, *self.found):
            weight[name] = -100.0
        return weight

    def first(self) -> tuple[str, float, float]:
        """The first suspect, its weight, and its lead over the next of another part."""
        weight = self.weights()
        order = sorted(weight, key=lambda name: -weight[name])
        faults = self.session.catalogue.faults
        part = faults[order[0]].part
        other = next((name for name in order if faults[name].part != part), order[-1])
        return order[0], weight[order[0]], weight[order[0]] - weight[other]

    def settled(self) -> bool:
        """Whether there is a suspect to be named."""
        _, weight, lead = self.first()
        return weight >= self.skill.enough and lead >= self.skill.lead

    def _agenda(self) -> list[Check]:
        """Checks to do, those first that the last rules ask for."""
        asked = [name for rule in reversed(self.rules) if rule.when(self.notes) for name in rule.then]
        names = [*asked, *self._round()]
        if not any(self._open(name) for name in names):
            weight = self.weights()
            best = sorted(weight, key=lambda name: -weight[name])[: 1 + self.skill.level // 2]
            names = [name for suspect in best if weight[suspect] >= LIKELY for name in SETTLES.get(suspect, "").split()]
            if not any(self._open(name) for name in names):
                names = GENERAL if self.skill.level > 1 else []
        if self.skill.level >= INFRARED:
            names = [name.replace("-touch", "-infrared") if name.startswith("heater-") else name for name in names]
        return [self.session.catalogue.checks[name] for name in dict.fromkeys(names) if self._open(name)]

    def _round(self) -> list[str]:
        """Checks that the complaints begin with, as far as this level does them."""
        steps = [step.split(":") for kind in self.notes.complaints for step in ROUNDS[kind].split()]
        return [name for level, name in steps if int(level) <= self.skill.level]

    def _open(self, name: str) -> bool:
        check = self.session.catalogue.checks[name]
        return name not in self.hands.done and check.fits(self.session.vehicle)

    def _next(self) -> Check | None:
        """The next check: what wants a cold engine while it is cold, and what it must cool for last."""
        agenda = self._agenda()
        if not agenda:
            return None
        if self.skill.level < 1:
            return agenda[0]
        if self.hands.cold:
            now = [check for check in agenda if self.hands.wants_cold(check) or not self.hands.warms(check)]
        else:
            now = [check for check in agenda if not self.hands.wants_cold(check)]
        return (now or agenda)[0]

    # -- working --------------------------------------------------------------------------------------------------

    def play(self) -> None:
        """Work the job to its end."""
        for _ in range(self.skill.repairs):
            self.look()
            if self.mend():
                break
        self.write_up()

    def look(self) -> None:
        """Take checks until there is a suspect to be named, or patience is over."""
        for _ in range(self.skill.patience):
            if self.settled():
                break
            check = self._next()
            if check is None:
                break
            self.hands.check(check)
        self._loose_checks()
        if self.skill.confirms and self._dear():
            self._confirm()

    def _loose_checks(self) -> None:
        """Checks for no reason."""
        if self.found or self.out:
            return
        able = [
            check
            for check in self.session.catalogue.checks_of(self.session.vehicle)
            if check.minutes <= LOOSE_MINUTES
            and not check.does
            and not self.hands.wants_cold(check)
            and self._open(check.id)
        ]
        random.Random(f"{self.session.job.id}:{self.session.seed}").shuffle(able)
        for check in able[: self.skill.needless]:
            self.hands.check(check)

    def _dear(self) -> bool:
        repair = self._repair_for(self.first()[0])
        return repair is not None and repair.minutes + COST_CLASSES[repair.cost] >= DEAR_MINUTES

    def _confirm(self) -> None:
        """One more look at a dear part, where one is left."""
        if self.first()[1] >= 2.0 * PROVES:
            return
        for name in SETTLES.get(self.first()[0], "").split():
            if self._open(name):
                self.hands.check(self.session.catalogue.checks[name])
                return

    def _repair_for(self, suspect: str) -> Repair | None:
        """What the handbook says cures it, on this vehicle."""
        repairs = self.session.catalogue.repairs
        fitting = (repairs[name] for name in self.session.catalogue.faults[suspect].cured_by)
        return next((repair for repair in fitting if repair.fits(self.session.vehicle)), None)

    def mend(self) -> bool:
        """Name the first suspect, repair it, prove it; whether all is well."""
        suspect, weight, _ = self.first()
        return self.mend_as(suspect, weight)

    def mend_as(self, suspect: str, weight: float) -> bool:
        """The same for any suspect. What did not cure it is taken back, unless it was seen with one's own eyes."""
        seen = weight >= PROVES
        beside = (ALSO,) if self.found else ()
        self.hands.do("diagnose", suspect, self._sure(weight), *beside)
        repair = self._repair_for(suspect)
        if repair is not None:
            self.hands.repair(repair)
        if prove(self.hands):
            return True
        if seen:
            self.found.append(suspect)
        else:
            self.out.add(suspect)
        for name in RETAKEN:
            self.notes.forget(name)
            if name in self.hands.done:
                self.hands.done.remove(name)
        return False

    def _sure(self, weight: float) -> float:
        if weight >= PROVES:
            return 95.0
        return 75.0 if weight >= self.skill.enough else 50.0

    def write_up(self) -> None:
        """Complaint, cause and correction, and the keys."""
        diagnosis = self.session.diagnosis
        cause = "nothing was found" if diagnosis is None else self.session.catalogue.faults[diagnosis[0]].name
        texts = {
            "complaint": f"customer says: {self.session.job.complaint[:60]}",
            "cause": f"found at the vehicle: {cause}",
            "correction": f"done and tried: {', '.join(self.session.repairs) or 'nothing at all'}",
        }
        for kind, text in texts.items():
            if uniform("write up", self.session.job.id, self.session.seed, kind) >= self.skill.untidy:
                self.hands.do("note", kind, text)
        self.hands.do("handback")
