"""The month after hand-back: does the complaint return, or does a new one arise?

The vehicle is simulated beside the same vehicle without faults: cold starts, short and long trips, rests, changing
weather, a warm spell near the end. The complaint comes on the first day on which a customer would notice a difference.
Only physics decides, not the id of a fault.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace

import numpy as np

from grading.marks.roadworthy import unroadworthy
from grading.sessions.modes import NOT_DRIVEN
from grading.sessions.record import RecordEntry
from grading.sessions.verification import replay_session
from scenarios.actions import PHYSICAL, Action
from scenarios.daily_use import BETWEEN_MINUTES, IDLE_MINUTES, NIGHT_MINUTES, trips
from scenarios.language import N_
from scenarios.model import Catalogue, Job
from scenarios.physics_failure import AFTER_THE_JOB, require_solved
from sim.fleet import Fleet
from sim.observation.instruments import RED_FROM
from sim.observation.loop import gauge_needle, neck_shortfall
from sim.observation.quantities import QUANTITIES
from sim.repairs import settle_sealant
from sim.vehicle import states as st
from sim.vehicle.tolerances import uniform
from sim.world import MINUTE, STOPPED, World, running

DAYS = 30
WARM_SPELL = range(24, 27)
"""Days on which the customer wants cold air."""
WARM_SPELL_C = 26.0
SWING_K = 5.0
"""Largest deviation of a morning's temperature from that of the job [K]."""
SOON = 2
"""Days within which an overheating engine means that the vehicle was handed back dangerous."""
TOLERANCE_FACTOR = 10.0
"""Relaxed: a customer notices whole kelvins."""
JAM_DAY, JAM_MINUTES = 25, 20.0
"""A day of the warm spell with a traffic jam, and its length [min]."""
FELT_WARM_K = 2.0  # noticeable difference in warm weather with the control at cold (ours)
FOGGED = 0.4  # share of the glass, as the highest limit of "eye on the glass"
FELT_K = 6.0  # noticeable difference of vent temperatures in cold weather (ours)
FELT_AIR = 0.6  # share of the usual air below which people call it hardly any (ours)
WEAK_AIR = 0.78  # share of the usual air below which people notice (ours)
FELT_L = 0.6  # litres that people see missing (ours)
WET = 0.06  # kg in the carpet at which it feels damp, as the hand's first bound
ASTRAY = 0.25  # of the needle's travel from where it should stand
IN_THE_RED = {
    "on the road": N_("the needle goes into the red"),
    "at speed": N_("the needle goes into the red at speed"),
    "at idle": N_("the needle goes into the red at idle"),
}
AT_VENTS = (
    (
        "vent temperature",
        N_("warm air at the vents in warm weather, with the control at cold"),
        {
            "on the road": N_("the air at the vents stays cold"),
            "at speed": N_("the air at the vents stays cold at speed"),
            "at idle": N_("the air at the vents stays cold at idle"),
        },
    ),
    (
        "rear vent temperature",
        N_("warm air at the rear vents in warm weather, with the control at cold"),
        {
            "on the road": N_("the air at the rear vents stays cold"),
            "at speed": N_("the air at the rear vents stays cold at speed"),
            "at idle": N_("the air at the rear vents stays cold at idle"),
        },
    ),
)
"""Quantity, complaint of warm air, and complaints of cold air by driving condition."""
HARDLY_ANY_AIR = (
    N_("hardly any air on blower speed 1"),
    N_("hardly any air on blower speed 2"),
    N_("hardly any air on blower speed 3"),
    N_("hardly any air on blower speed 4"),
)
WEAKER_AIR = (
    N_("less air than before on blower speed 1"),
    N_("less air than before on blower speed 2"),
    N_("less air than before on blower speed 3"),
    N_("less air than before on blower speed 4"),
)
WRONG_OUTLET = (
    N_("the air does not go to the floor when it should"),
    N_("the air does not go to the face when it should"),
    N_("the air does not go to the screen when it should"),
)


@dataclass(frozen=True)
class Comeback:
    """Result of the month after hand-back.

    day: of the first complaint, 1 is the next day, None if there is none; what: the complaint in English, empty for
    none; dangerous: whether the engine overheats within SOON days; days: simulated days; unroadworthy: why the vehicle
    must not be driven, in English, empty if it may be; held: whether the job card forbids driving it.
    """

    day: int | None
    what: str
    dangerous: bool
    days: int = DAYS
    unroadworthy: str = ""
    held: bool = False

    @property
    def forbidden(self) -> str:
        """Why a vehicle that may be driven by its job card must not be, in English, else empty."""
        return "" if self.held else self.unroadworthy

    @property
    def needlessly_held(self) -> bool:
        """Whether the job card forbids driving a roadworthy vehicle."""
        return self.held and not (self.unroadworthy or self.dangerous)


Months = dict[tuple[Action, ...], Comeback]
"""Months of vehicles that may be driven, of one job and seed, by what was done to the vehicle before."""


def month_after(
    catalogue: Catalogue,
    job: Job,
    entries: list[RecordEntry],
    known: Months | None = None,
    progress: Callable[[], None] | None = None,
) -> Comeback | None:
    """The month after a record's hand-back; None without hand-back. Raises PhysicsFailed.

    known: months of its job and seed simulated before, where a new one is kept as well; progress: called after each
    day; it may raise to abort.
    """
    actions = [entry.action for entry in entries if entry.kind == "action"]
    if not any(action.verb == "handback" for action in actions):
        return None
    known = {} if known is None else known
    done = tuple(action for action in actions if action.verb in PHYSICAL)
    if done not in known:
        known[done] = _month(catalogue, job, entries, progress)
    month = known[done]
    if Action("handback", (NOT_DRIVEN,)) in actions:
        return Comeback(None, "", month.dangerous, 0, month.unroadworthy, True)
    return month


def _month(catalogue: Catalogue, job: Job, entries: list[RecordEntry], progress: Callable[[], None] | None) -> Comeback:
    """The month of a vehicle that may be driven."""
    session = replay_session(catalogue, job, entries)
    workshop, seed = session.workshop, session.seed
    atmosphere = float(workshop.fleet.controls["atmosphere_kPa"][0])
    sound = Fleet.cold(workshop.good, job.ambient_C, atmosphere)
    world = World(Fleet.joined(workshop.fleet, sound), workshop.world.weather, workshop.world.now)
    mornings = [job.ambient_C + SWING_K * (2.0 * uniform("month", job.id, seed, d) - 1.0) for d in range(1, DAYS + 1)]
    why = unroadworthy(world.copy(), mornings[0])
    return replace(follow(world, mornings, job.warm_enough_C, progress), unroadworthy=why)


def follow(
    world: World, mornings: Sequence[float], warm_enough_C: float, progress: Callable[[], None] | None = None
) -> Comeback:
    """Simulate the days of a world of two vehicles, the one in question and a healthy one.

    mornings: ambient temperature of each day [degC] outside the warm spell; warm_enough_C: vent temperature [degC] that
    nobody complains of; progress: called after each day.
    """
    world.fleet.tolerance_factor = TOLERANCE_FACTOR
    world.set(**STOPPED, bonnet=0.0, cap=1.0, recirculation=0.0, occupants=0.0)
    for day, ambient in enumerate(mornings, start=1):
        warm = day in WARM_SPELL
        _pass(world, NIGHT_MINUTES)
        world.set(ambient_C=WARM_SPELL_C if warm else ambient)
        for what in _day(world, day, warm, warm_enough_C):
            overheats = what in IN_THE_RED.values()
            return Comeback(day, what, overheats and day <= SOON)
        if progress:
            progress()
    return Comeback(None, "", False)


def _day(world: World, day: int, warm: bool, warm_enough: float) -> Iterator[str]:
    """Complaints of one day in order of time; on days without a trip the coolant level is checked."""
    made = trips(day)
    if not made:
        yield from _coolant(world.fleet)
    for minutes, kmh in made:
        long = len(made) == 1
        world.set(heater=0.0 if warm else 1.0, blower=2.0, vents=0.0, occupants=1.0, **running(kmh=kmh))
        _pass(world, minutes)
        yield from _air(world)
        yield from _on_the_way(world, warm, warm_enough, "at speed" if long else "on the road")
        world.set(**running())
        _pass(world, JAM_MINUTES if day == JAM_DAY else IDLE_MINUTES)
        yield from _on_the_way(world, warm, warm_enough, "at idle")
        yield from _gauge(world.fleet)
        world.set(**STOPPED, occupants=0.0)
        yield from _carpet(world.fleet)
        _pass(world, BETWEEN_MINUTES)


def _pass(world: World, minutes: float) -> None:
    """Let minutes pass. Raises PhysicsFailed."""
    ran = world.fleet.state[:, st.RUN].copy()
    world.wait(minutes * MINUTE)
    settle_sealant(world.fleet, world.fleet.state[:, st.RUN] - ran)
    require_solved(world.fleet, AFTER_THE_JOB)


def _pair(quantity: Callable[[Fleet], np.ndarray], fleet: Fleet) -> tuple[float, float]:
    mine, sound = quantity(fleet)
    return float(mine), float(sound)


def _on_the_way(world: World, warm: bool, warm_enough: float, when: str) -> Iterator[str]:
    needle, should = _pair(gauge_needle, world.fleet)
    if needle > RED_FROM > should:
        yield IN_THE_RED[when]
    for quantity, warm_air, cold_air in AT_VENTS:
        mine, sound = _pair(QUANTITIES[quantity], world.fleet)
        if warm and mine > sound + FELT_WARM_K:
            yield warm_air
        if not warm and mine < min(sound - FELT_K, warm_enough):
            yield cold_air[when]
    fog, usual = _pair(QUANTITIES["glass fog"], world.fleet)
    if fog > FOGGED > usual:
        yield N_("the windows mist up")


def _gauge(fleet: Fleet) -> Iterator[str]:
    needle, should = _pair(gauge_needle, fleet)
    if abs(needle - should) > ASTRAY:
        yield N_("the temperature gauge stands where it should not")


def _air(world: World) -> Iterator[str]:
    for speed in (1.0, 2.0, 3.0, 4.0):
        world.set(blower=speed)
        mine, sound = _pair(QUANTITIES["blower air"], world.fleet)
        if mine < FELT_AIR * sound:
            yield HARDLY_ANY_AIR[int(speed) - 1]
        elif mine < WEAK_AIR * sound:
            yield WEAKER_AIR[int(speed) - 1]
    world.set(blower=2.0)
    for vents, complaint in enumerate(WRONG_OUTLET):
        world.set(vents=float(vents))
        mine, sound = _pair(QUANTITIES["mode door position"], world.fleet)
        if abs(mine - sound) > 0.5:
            yield complaint


def _carpet(fleet: Fleet) -> Iterator[str]:
    if fleet.state[0, st.CARPET] > WET > fleet.state[1, st.CARPET]:
        yield N_("the carpet is wet")


def _coolant(fleet: Fleet) -> Iterator[str]:
    mine, sound = _pair(neck_shortfall, fleet)
    level = _pair(QUANTITIES["bottle level"], fleet)
    short = max(mine - sound, level[1] - level[0])
    if short > FELT_L:
        yield N_("coolant has to be topped up")
