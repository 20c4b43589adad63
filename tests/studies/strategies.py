"""Ways of working a job, honest and otherwise, each as a function that plays a session to its end."""

from __future__ import annotations

import random
from collections.abc import Callable, Iterable
from dataclasses import dataclass

from grading.marks.grade import Grader
from grading.marks.proof import prove
from grading.observer.particles import Particles
from grading.observer.prior import prior
from grading.reference.options import Option, options
from grading.reference.preparation import WARM_UP_MINUTES, Readiness, preparation, too_warm
from grading.sessions.outcome import Outcome
from grading.sessions.session import Session
from scenarios.actions import Action
from scenarios.model import COST_CLASSES, Check
from sim.vehicle import states as st
from sim.vehicle.tolerances import uniform
from tests.grading.proving import way

SURE = 0.95
"""Belief at which a person with a sound head declares."""

LOOKS_FURTHER = 8
TELLS = 0.05
"""Information [bit] below which an experienced person leaves a check out, the more so if it takes longer than USUAL."""
USUAL = 3.0

GOOD_ORDER = (
    "coolant-level-cold",
    "overflow-level",
    "leaks-by-eye",
    "cap-test",
    "pressure-test",
    "belt",
    "blower-each-speed",
    "blend-door-listen",
    "gauge",
    "vent-temperature",
    "heater-feed-touch",
    "heater-return-touch",
    "heater-feed-infrared",
    "heater-return-infrared",
    "valve-movement",
    "valve-both-sides-touch",
    "valve-both-sides-infrared",
    "upper-radiator-hose-touch",
    "scan-coolant-temperature",
    "lower-radiator-hose-infrared",
    "blower-supply-voltage",
    "bleed-air",
)
"""The order of the trade: look, and test what wants a cold engine, before anything runs; listen, warm up once, feel
the hoses, then measure."""


@dataclass
class Player:
    """A session with an observer beside it: what a person with a perfect head would make of the readings."""

    grader: Grader
    session: Session
    belief: Particles
    readiness: Readiness
    done: set[str]

    @classmethod
    def of(cls, grader: Grader) -> Player:
        """A fresh session of a grader's job."""
        session = Session(grader.catalogue, grader.job, grader.seed)
        session.switches_off = False  # `do` does, so that the belief follows
        return cls(grader, session, grader.prior_particles, Readiness(), set())

    def do(self, verb: str, *arguments: str | float) -> Outcome:
        """Do it, and let the observer learn from it."""
        outcome = self.session.do(Action(verb, arguments))
        if outcome.refused is None and verb not in ("diagnose", "note", "handback", "suspect"):
            noticed = [(seen.label, seen.step) for seen in outcome.noticed]
            steps = [reading.step for reading in outcome.readings]
            self.belief, _ = self.grader.belief_cache.after(self.belief, outcome.action, steps, noticed)
            self.readiness.note(self.session.workshop, outcome.minutes, outcome.action)
            if self.session.must_switch_off:
                self.readiness.overheated = True
                self.do("ignition", "off")
        return outcome

    def check(self, check: Check, let_cool: bool = False) -> bool:
        """Prepare for a check and take it; whether it could be done. let_cool: by waiting for hours, if need be."""
        self.done.add(check.id)
        before = preparation(self.session.workshop, check, self.readiness, let_cool)
        if before is None:
            return False
        for action in before:
            if self.do(action.verb, *action.arguments).refused is not None:
                return False
        return self.do("check", check.id).refused is None

    def confidence(self) -> tuple[str, float]:
        """The likeliest fault and the belief in it."""
        chance = self.belief.belief()
        return self.belief.faults[int(chance.argmax())].id, float(chance.max())

    def checks(self) -> list[Check]:
        """Checks of this vehicle that have not been done."""
        found = self.grader.catalogue.checks_of(self.session.vehicle)
        return [check for check in found if check.readings and check.id not in self.done]

    def work_through(self, order: Iterable[Check], sure: float = SURE) -> None:
        """Take checks in order until sure enough."""
        for check in order:
            if self.confidence()[1] >= sure:
                return
            self.check(check)

    def look_further(self, sure: float = SURE) -> None:
        """Where the usual round does not settle it: whatever tells most for its minutes, a few more times."""
        for _ in range(LOOKS_FURTHER):
            if self.confidence()[1] >= sure:
                return
            for let_cool in (False, True):
                found = options(self.belief, self.readiness, self.done, let_cool)
                if found and found[0].bits >= TELLS:
                    self.check(found[0].check, let_cool)
                    break
            else:
                return

    def repair(self, name: str) -> None:
        """Do a repair, the engine off and cold where the cap comes off."""
        repair = self.grader.catalogue.repairs[name]
        if "engine-off" in repair.needs or repair.opens_cap:
            self.session.do(Action("ignition", ("off",)))
        if repair.opens_cap and float(self.session.workshop.fleet.state[0, st.RUN]) > 0.0:
            self.session.do(Action("wait", (420.0,)))
        self.session.do(Action("repair", (name,)))

    def prove(self) -> bool:
        """Show that what was complained of is gone, as the job card says; whether that is proven."""
        for action in way(self.grader.job):
            self.session.do(action)
        self.readiness.minutes_run += WARM_UP_MINUTES
        actions = [entry for entry in self.session.recorder.entries if entry.kind == "action"]
        return prove(self.grader.catalogue, self.grader.job, self.grader.seed, actions).proven

    def finish(self, fault: str, confidence: float, tidy: bool = True) -> None:
        """Declare, repair as the declared fault wants, prove it, write it up, hand back."""
        self.session.do(Action("diagnose", (fault, round(100.0 * confidence))))
        for name in self.grader.catalogue.faults[fault].cured_by[:1]:
            self.repair(name)
        if tidy:
            self.prove()
            for kind in ("complaint", "cause", "correction"):
                self.session.do(Action("note", (kind, "written down in words")))
        self.session.do(Action("handback"))


def reference(player: Player) -> None:
    """The reference's own course."""
    for action in player.grader.course.actions:
        player.session.do(action)
    player.finish(player.grader.course.diagnosis, player.grader.course.belief)


def _known(player: Player) -> list[Check]:
    checks = {check.id: check for check in player.checks()}
    return [checks[name] for name in GOOD_ORDER if name in checks]


def _telling(player: Player, order: list[Check]) -> Iterable[Check]:
    """Checks of an order, without those that could tell nothing, as a person with experience leaves them out."""
    for check in order:
        before = preparation(player.session.workshop, check, player.readiness)
        if before is None:
            continue
        if bits_of(player, check) > TELLS * max(check.minutes / USUAL, 1.0):
            yield check


def bits_of(player: Player, check: Check) -> float:
    """Expected information of one check [bit]."""
    others = {other.id for other in player.grader.catalogue.checks_of(player.session.vehicle)} - {check.id}
    found: list[Option] = options(player.belief, player.readiness, others)
    return found[0].bits if found else 0.0


def good_order(player: Player) -> None:
    """Cheap and telling first, in the order of the trade; stops when sure."""
    player.work_through(_telling(player, _known(player)))
    player.look_further()
    player.finish(*player.confidence())


def slow_careful(player: Player) -> None:
    """Every protected step, the complaint verified, more checks than needed, one repeated; surer before it stops."""
    first = [check for check in player.checks() if check.protected or check.id in GOOD_ORDER[:2]]
    for check in sorted(first, key=lambda check: not (check.opens_cap or "cold" in check.best_when)):
        player.check(check)
    player.work_through(_telling(player, _known(player)), 0.97)
    player.look_further(0.97)
    player.do("wait", 3.0)
    last = [e.action.text(0) for e in player.session.recorder.entries if e.data.get("verb") == "check"]
    if last and not too_warm(player.grader.catalogue.checks[last[-1]], player.readiness):
        player.do("check", last[-1])
    player.finish(*player.confidence())


def _guess(player: Player) -> str:
    faults, luck = player.belief.faults, uniform("guess", player.grader.job.id, player.grader.seed)
    for fault, chance in zip(faults, prior(player.grader.job, faults), strict=True):
        luck -= chance
        if luck <= 0.0:
            return fault.id
    return faults[-1].id


def guesser(player: Player) -> None:
    """Names at once a fault that goes with the complaint, common ones more often."""
    player.finish(_guess(player), 0.5)


def states_certainty(player: Player) -> None:
    """Looks at one cheap thing, names the likeliest, and is always 100 % sure."""
    player.check(min(player.checks(), key=lambda check: (check.minutes, check.id)))
    player.finish(player.confidence()[0], 1.0)


def shotgun(player: Player) -> None:
    """Every check there is, cold ones first."""
    order = sorted(player.checks(), key=lambda check: not (check.opens_cap or "cold" in check.best_when))
    player.work_through(order, 2.0)
    player.finish(*player.confidence())


def cheapest_first(player: Player) -> None:
    """By minutes alone, until sure."""
    player.work_through(sorted(player.checks(), key=lambda check: (check.minutes, check.id)))
    player.finish(*player.confidence())


def at_random(player: Player) -> None:
    """Any check, until sure."""
    order = player.checks()
    random.Random(f"{player.grader.job.id}:{player.grader.seed}").shuffle(order)
    player.work_through(order)
    player.finish(*player.confidence())


def declares_late(player: Player) -> None:
    """As the good order, then twelve checks more before it says what it has long known."""
    player.work_through(_telling(player, _known(player)))
    for check in player.checks()[:12]:
        player.check(check)
    player.finish(*player.confidence())


MOST_PARTS = 15
"""Parts after which nobody pays for another (ours)."""


def parts_swapper(player: Player) -> None:
    """Fits parts, cheap ones first, until the vents are warm or there have been MOST_PARTS of them; then declares what
    the last of them cures.
    """
    catalogue = player.grader.catalogue
    repairs = sorted(
        catalogue.repairs_of(player.session.vehicle), key=lambda r: (r.minutes + COST_CLASSES[r.cost], r.id)
    )
    fitted = ""
    for repair in [r for r in repairs if r.id != "explain-use"][:MOST_PARTS]:
        player.repair(repair.id)
        fitted = repair.id
        if player.prove():
            break
    cured = [fault for fault in player.belief.faults if fitted in fault.cured_by]
    best = max(cured, key=lambda fault: fault.rate) if cured else player.belief.faults[0]
    player.session.do(Action("diagnose", (best.id, 90.0)))
    player.session.do(Action("handback"))


STRATEGIES: dict[str, Callable[[Player], None]] = {
    "reference": reference,
    "good order": good_order,
    "slow and careful": slow_careful,
    "cheapest first": cheapest_first,
    "random": at_random,
    "declares late": declares_late,
    "shotgun": shotgun,
    "guesser": guesser,
    "one look, 100 % sure": states_certainty,
    "parts swapper": parts_swapper,
}
