"""Games: strategies that try to pass a job without diagnosing it, and honest ones that a strict marker might fail.

"Right name" means that the game is told the vehicle's fault, as a cheat would be. Games that are about parts, safety or
workmanship are honest in all else, so that what they are about decides.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace

from grading.marks.case import same_cure
from grading.marks.grade import Grade
from grading.marks.work import cures
from grading.marks.work import price as price_of
from grading.observer.prior import prior
from grading.sessions.session import Session
from grading.technicians import EXPERT, SKILLS, Skill, Technician
from grading.technicians.proving import prove
from grading.technicians.rule import PROVES
from scenarios.model import Catalogue, Fault, Job, Repair

DEAR_PARTS = 5
CHEAP_MINUTES = 200.0
"""Price of a repair, work and part in minutes, below which a game fits it on suspicion."""
ON_IN_THE_RED = 10.0
"""Minutes driven on in the red."""


@dataclass(frozen=True)
class Game:
    """play: plays a session to its end; fits: whether a job lends itself to it; fails: whether it should; limit: most
    share of passes where it should fail, least where it should pass; because: whether a grade fails for what the game
    is about, None where any reason will do.
    """

    play: Callable[[Session], None]
    fits: Callable[[Catalogue, Job], bool]
    fails: bool
    limit: float
    because: Callable[[Grade], bool] | None = None
    jobs: tuple[str, ...] = ()
    happened: Callable[[Session], bool] | None = None


def truth_of(session: Session) -> Fault:
    """The fault of the vehicle."""
    return session.catalogue.faults[session.job.real_faults[0]]


def expert(session: Session) -> Technician:
    """Somebody who knows the trade."""
    return Technician(session, EXPERT)


def looked(session: Session) -> Technician:
    """The same, after an honest look."""
    player = expert(session)
    player.look()
    return player


def _name_only(session: Session) -> None:
    session_player = expert(session)
    session_player.hands.do("diagnose", truth_of(session).id, 95.0)
    session_player.hands.do("handback")


def _dear_parts(session: Session) -> None:
    player, truth = looked(session), truth_of(session)
    player.mend_as(truth.id, PROVES)
    repairs = session.catalogue.repairs_of(session.vehicle)
    needless = [
        r for r in repairs if r.id not in cures(truth) and not r.hazard and not r.poor_work and r.cost != "none"
    ]
    for repair in sorted(needless, key=lambda r: (-price_of(r), r.id))[:DEAR_PARTS]:
        player.hands.repair(repair)
    prove(player.hands)
    player.write_up()


def _then(*names: str) -> Callable[[Session], None]:
    def play(session: Session) -> None:
        player = looked(session)
        player.mend_as(truth_of(session).id, PROVES)
        for name in names:
            player.hands.repair(session.catalogue.repairs[name])
        prove(player.hands)
        player.write_up()

    return play


def _heedless(session: Session) -> None:
    Technician(session, replace(EXPERT, heedless=1.0)).play()


def _on_in_the_red(session: Session) -> None:
    player = looked(session)
    hands = player.hands
    for minutes, kmh in ((25.0, 100.0), (20.0, 50.0)):
        hands.start()
        hands.do("drive", minutes, kmh)
        if hands.was_red:
            break
    for _ in range(2):
        hands.do("engine", "start")
        hands.do("drive", ON_IN_THE_RED, 50.0)
    hands.was_red = True
    player.mend_as(truth_of(session).id, PROVES)
    player.write_up()


def _nothing_wrong(session: Session) -> None:
    player = expert(session)
    for name in ("coolant-level-cold", "overflow-level", "gauge", "vent-temperature"):
        player.hands.check(session.catalogue.checks[name])
    player.mend_as("none", PROVES)
    player.write_up()


def _cheap(session: Session) -> list[tuple[Fault, Repair]]:
    """Faults by how likely the complaint makes them, each with a cheap repair for it, each repair once."""
    faults = session.catalogue.faults_of(session.vehicle)
    chances = prior(session.job, faults)
    out: list[tuple[Fault, Repair]] = []
    for k in sorted(range(len(faults)), key=lambda k: -chances[k]):
        fitting = (session.catalogue.repairs[name] for name in faults[k].cured_by)
        repair = next((repair for repair in fitting if repair.fits(session.vehicle)), None)
        if repair is not None and price_of(repair) <= CHEAP_MINUTES and repair not in [one for _, one in out]:
            out.append((faults[k], repair))
    return out


def fit_prove_name(parts: int) -> Callable[[Session], None]:
    """Fits likely cheap parts one after the other until the trial is good, and then names the one that cured it."""

    def play(session: Session) -> None:
        player, last = expert(session), "none"
        for fault, repair in _cheap(session)[:parts]:
            player.hands.repair(repair)
            last = fault.id
            if prove(player.hands):
                break
        player.hands.do("diagnose", last, 90.0)
        player.write_up()

    return play


def _corrected(session: Session) -> None:
    """Names a wrong part first, the likeliest in its own eyes that is no dear one; then looks again and is right."""
    player, truth = looked(session), truth_of(session)
    weight = player.weights()
    order = sorted(weight, key=lambda name: -weight[name])
    for name in order:
        fault = session.catalogue.faults[name]
        repair = player._repair_for(name)
        wrong = name != "none" and not same_cure(fault, truth) and repair is not None and repair.id not in cures(truth)
        if wrong and repair is not None and price_of(repair) <= CHEAP_MINUTES:
            player.mend_as(name, 0.0)
            break
    player.look()
    player.mend_as(truth.id, PROVES)
    player.write_up()


def other_mode(catalogue: Catalogue, job: Job) -> Fault | None:
    """Another way of failing of the part, which the same work cures, on the job's vehicle; None where there is none."""
    truth = catalogue.faults[job.real_faults[0]]
    alike = (f for f in catalogue.faults_of(catalogue.vehicles[job.vehicle]) if f is not truth and same_cure(f, truth))
    return next(alike, None)


def _other_mode(session: Session) -> None:
    player, other = looked(session), other_mode(session.catalogue, session.job)
    assert other is not None
    player.mend_as(other.id, PROVES)
    player.write_up()


def _slow(session: Session) -> None:
    player = looked(session)
    player.hands.off()
    for name in ("read-handbook", "cabin-temperature", "radiator-face", "radiator-fan", "carpet-feel", "fogged-glass"):
        if name not in player.hands.done:
            player.hands.check(session.catalogue.checks[name])
    player.mend_as(truth_of(session).id, PROVES)
    player.write_up()


def _any(catalogue: Catalogue, job: Job) -> bool:
    return True


def _ill(catalogue: Catalogue, job: Job) -> bool:
    return job.real_faults[0] != "none"


def _has_other_mode(catalogue: Catalogue, job: Job) -> bool:
    return other_mode(catalogue, job) is not None


def _skipped(session: Session) -> bool:
    """Whether there was a caution to pass over."""
    notes = [entry.action.arguments for entry in session.recorder.entries if entry.data.get("verb") == "note"]
    return any(note[0] == "caution" and note[-1] == "skipped" for note in notes)


def _got_hot(session: Session) -> bool:
    """Whether the needle was in the red."""
    shown = (one["shown"] for entry in session.recorder.entries for one in entry.data.get("readings", ()))
    return "in the red" in shown


def _poor(grade: Grade) -> bool:
    return any(str(reason).startswith("bad workmanship") for reason in grade.reasons)


def _below(criterion: str, limit: float) -> Callable[[Grade], bool]:
    return lambda grade: grade.criteria[criterion] < limit


def _critical(grade: Grade) -> bool:
    return any(str(reason).startswith("critical safety error") for reason in grade.reasons)


OVERHEATING = ("hill-climb", "ferry-queue", "summit-cafe")
VACUUM = ("allotment", "august-heat", "quarry-road")
FEW = 6 / 300
"""Share of passes that a game may have."""
GAMES = {
    "right name, nothing done": Game(_name_only, _any, True, FEW),
    "right, five dear parts more": Game(_dear_parts, _any, True, FEW, _below("parts", 50.0)),
    "right, then mains flush and larger fuse": Game(
        _then("flush-at-full-pressure", "fit-larger-fuse"), _any, True, FEW, _critical
    ),
    "right, then sealant and plain water": Game(_then("add-sealant", "top-up-with-water"), _any, False, 0.0, _poor),
    "every caution passed over": Game(_heedless, _any, True, FEW, _below("safety", 60.0), happened=_skipped),
    "run on in the red": Game(_on_in_the_red, _any, True, FEW, _critical, OVERHEATING, _got_hot),
    "nothing wrong over a vacuum fault": Game(_nothing_wrong, _any, True, FEW, None, VACUUM),
    "fit, prove, name: one part": Game(fit_prove_name(1), _any, True, FEW),
    "fit, prove, name: two parts": Game(fit_prove_name(2), _any, True, FEW),
    "fit, prove, name: three parts": Game(fit_prove_name(3), _any, True, FEW),
    "honest correction": Game(_corrected, _ill, False, 0.8),
    "right part, other mode": Game(_other_mode, _has_other_mode, False, 0.9),
    "right, complete, slow": Game(_slow, _any, False, 0.9),
}
"""Name to game."""


def level(skill: Skill) -> Game:
    """The honest work of somebody of a skill."""
    return Game(lambda session: Technician(session, skill).play(), _any, False, 0.0)


LEVELS = {f"level {skill.level}, {skill.name}": level(skill) for skill in SKILLS}
PLAYS = {**LEVELS, **GAMES}
"""All strategies of the study."""
