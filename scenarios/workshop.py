"""A vehicle in the workshop, or a whole fleet of possible ones, and what a person does to it.

The apprentice's job and the grader's replay run this one code: with n = 1 the quantities a check looks at are read by
instruments, with n = thousands each vehicle is asked how likely the recorded reading was.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import NamedTuple

import numpy as np

from scenarios import watching
from scenarios.actions import Action, NotPossible
from scenarios.arrival_codes import bring_codes
from scenarios.language import N_, Listed, _, say
from scenarios.model import BAY, BENCH, NEEDS, ROAD, SEAT, STANDS, Catalogue, Check, ReadingSpec, Repair, Vehicle
from scenarios.watching import AT_ONCE, WATCH, in_the_red, is_watched, run_watched
from sim.fleet import Fleet
from sim.observation.quantities import QUANTITIES
from sim.repairs import OPERATIONS, renew, settle_sealant
from sim.vehicle import states as st
from sim.vehicle.records import concatenate_records, take_records
from sim.world import MINUTE, STOPPED, Weather, World, running

WALK_MINUTES = 0.5
"""Going from one place to another."""
VENTS = {N_("floor"): 0.0, N_("face"): 1.0, N_("screen"): 2.0}
SCALDING_KPA = 10.0  # pressure under a cap above which it throws out what is below
SCALDING_C = 55.0  # coolant above which that burns (common practice; ISO 13732-1 gives 51 degC for a minute, M)
UNSAFE_C = 45.0  # coolant above which a cap must stay on, whatever the pressure turns out to be
UNSAFE_KPA, WARM_C = 5.0, 40.0  # pressure under a cap that must stay on, unless the coolant is too cold to burn


class Look(NamedTuple):
    """One look at every vehicle: what is read, the true quantity (n,), and the minute of the job at which."""

    spec: ReadingSpec
    true: np.ndarray
    minute: float


@dataclass
class Performed:
    """What an action did.

    action: as it was carried out, a drive that was broken off with the minutes it lasted; minutes: how long it took;
    broken_off: it ended before its time, with the needle in the red; in_the_red: the person at the wheel sees the
    needle there at its end and must switch off; readings: what was looked at, each with its own moment; scalded,
    unsafe: whether in each vehicle an opened cap burnt the person, or was opened when it should not have been (n,);
    failed: which vehicles could not be calculated to its end (n,).
    """

    action: Action
    minutes: float = 0.0
    broken_off: bool = False
    in_the_red: bool = False
    readings: list[Look] = field(default_factory=list)
    scalded: np.ndarray | None = None
    unsafe: np.ndarray | None = None
    failed: np.ndarray = field(default_factory=lambda: np.zeros(0, bool))


class Workshop:
    """Vehicles of one type on one clock, under one pair of hands."""

    def __init__(
        self,
        catalogue: Catalogue,
        vehicle: Vehicle,
        parameters: np.ndarray,
        good: np.ndarray,
        weather: Weather,
        atmosphere: float,
        sample_every: float | None = None,
    ) -> None:
        """Parameters (n,): as they arrive; good (n,): the same vehicles without a fault, the source of new parts."""
        self.catalogue = catalogue
        self.vehicle = vehicle
        self.good = good
        self.world = World(Fleet.cold(parameters, weather.mean, atmosphere), weather, 0.0, sample_every)
        self.place = SEAT
        bring_codes(self.fleet, good)
        self.world.set(occupants=1.0)

    @property
    def fleet(self) -> Fleet:
        """The vehicles as they are now."""
        return self.world.fleet

    @property
    def minute(self) -> float:
        """Minutes since the job began."""
        return self.world.now / MINUTE

    def copy(self, keep: np.ndarray | None = None) -> Workshop:
        """The same moment once more, with all vehicles or those of an index, to ask "what if".

        With all of them their parts are shared until hands change them, for they are most of what a vehicle is.
        """
        other = object.__new__(Workshop)
        other.catalogue, other.vehicle, other.place = self.catalogue, self.vehicle, self.place
        fleet = self.fleet.snapshot() if keep is None else self.fleet.select(keep)
        other.good = self.good if keep is None else take_records(self.good, keep)
        other.world = World(fleet, self.world.weather, self.world.now)
        return other

    def joined(self, other: Workshop, order: np.ndarray) -> Workshop:
        """The vehicles of both at this moment, in an order: index into one's own and then the other's."""
        whole = self.copy(order[:0])
        whole.world.fleet = Fleet.joined(self.fleet, other.fleet).select(order)
        whole.good = take_records(concatenate_records([self.good, other.good]), order)
        return whole

    def control(self, name: str) -> float:
        """Where a control stands: the same in every vehicle."""
        return float(self.fleet.controls[name][0])

    def missing_needs(self, needs: tuple[str, ...]) -> list[str]:
        """Which of NEEDS do not hold now."""
        holds = {
            "engine-off": self.control("engine") < 0.5,
            "engine-running": self.control("engine") > 0.5,
            "ignition-on": self.control("ignition") > 0.5,
            "ignition-off": self.control("ignition") < 0.5,
        }
        return [need for need in needs if not holds[need]]

    def perform(self, action: Action) -> Performed:
        """Do a physical action. Raises NotPossible, before anything has changed."""
        before, ran = self.world.now, self.fleet.state[:, st.RUN].copy()
        done = getattr(self, f"_{action.verb}")(action)
        done.minutes = (self.world.now - before) / MINUTE
        if self.fleet.parameters["sealant"].any():
            self.fleet.unshare_parameters()
            settle_sealant(self.fleet, self.fleet.state[:, st.RUN] - ran)
        done.failed = self.fleet.failed
        return done

    # -- controls ---------------------------------------------------------------------------------------------------

    def _set(self, action: Action) -> Performed:
        name = action.text(0)
        if name == "vents":
            if action.text(1) not in VENTS:
                raise NotPossible(_cannot_be("vents", action.text(1), "floor, face, screen"))
            self.world.set(vents=VENTS[action.text(1)])
        elif name == "heater":
            self.world.set(heater=_within(action.number(1), 0.0, 100.0, _("heater")) / 100.0)
        elif name == "blower":
            self.world.set(blower=float(round(_within(action.number(1), 0.0, 4.0, _("blower")))))
        elif name == "recirculation":
            if action.text(1) not in ("on", "off"):
                raise NotPossible(_cannot_be("recirculation", action.text(1), "on, off"))
            self.world.set(recirculation=float(action.text(1) == "on"))
        else:
            expected = "heater, blower, vents, recirculation"
            raise NotPossible(say("there is no control '{name}', expected one of: {names}", name=name, names=expected))
        return Performed(action)

    def _ignition(self, action: Action) -> Performed:
        if action.text(0) not in ("on", "off"):
            raise NotPossible(_cannot_be("ignition", action.text(0), "on, off"))
        self.world.set(**({"ignition": 1.0} if action.text(0) == "on" else STOPPED))
        return Performed(action)

    def _engine(self, action: Action) -> Performed:
        if action.text(0) not in ("start", "stop"):
            raise NotPossible(_cannot_be("engine", action.text(0), "start, stop"))
        if action.text(0) == "start":
            self.world.set(**running())
        else:
            self.world.set(engine=0.0, rpm=0.0, kmh=0.0, load_kW=0.0)
        return Performed(action)

    # -- time -------------------------------------------------------------------------------------------------------

    def _rev(self, action: Action) -> Performed:
        self._require_engine()
        rpm = _within(action.number(0), 600.0, 5000.0, _("engine speed"))
        minutes = _within(action.number(1), 0.0, 60.0, _("minutes"))
        return self._watched(action, 1, minutes, running(rpm=rpm))

    def _idle(self, action: Action) -> Performed:
        self._require_engine()
        minutes = _within(action.number(0), 0.0, 240.0, _("minutes"))
        return self._watched(action, 0, minutes, running())

    def _drive(self, action: Action) -> Performed:
        self._require_engine()
        minutes = _within(action.number(0), 0.0, 240.0, _("minutes"))
        kmh = _within(action.number(1), 5.0, 130.0, _("road speed")) if len(action.arguments) > 1 else 50.0
        self._walk(SEAT)
        self.world.set(bonnet=0.0)
        return self._watched(action, 0, minutes, running(kmh=kmh))

    def _watched(self, action: Action, place: int, minutes: float, controls: dict[str, float]) -> Performed:
        """Run the engine with an eye on the gauge: with one vehicle, stop when the needle goes into the red.

        A fleet runs for the minutes it is told, those that one vehicle's run really lasted; whether the needle was in
        the red at their end is a reading. place: of the minutes among the action's arguments.
        """
        self.world.set(**controls)
        ran = run_watched(self.world, minutes * MINUTE)
        done = Performed(action)
        if minutes * MINUTE - ran > AT_ONCE:
            arguments = list(action.arguments)
            arguments[place] = ran / MINUTE
            done.action, done.broken_off = Action(action.verb, tuple(arguments)), True
        done.readings.append(self._glance(done))
        self.world.set(**running())
        return done

    def _glance(self, done: Performed) -> Look:
        """The needle as a run ends, which decides whether to switch off."""
        look = Look(WATCH, watching.gauge_needle(self.fleet), self.minute)
        done.in_the_red = in_the_red(look.true)
        return look

    def _wait(self, action: Action) -> Performed:
        minutes = _within(action.number(0), 0.0, 24.0 * 60.0, _("minutes"))
        aboard = self.control("occupants")
        if self.control("engine") < 0.5:  # nobody sits in a vehicle that stands to cool: breath would wet the glass
            self.world.set(occupants=0.0)
        self.world.wait(minutes * MINUTE)
        self.world.set(occupants=aboard)
        return Performed(action)

    def _require_engine(self) -> None:
        if self.control("engine") < 0.5:
            raise NotPossible(_("the engine is not running, expected 'engine start' first"))

    # -- hands ------------------------------------------------------------------------------------------------------

    def _go(self, action: Action) -> Performed:
        if action.text(0) not in STANDS:
            raise NotPossible(
                say(
                    "you cannot walk to '{name}', expected one of: {names}",
                    name=action.text(0),
                    names=_(Listed(STANDS)),
                )
            )
        self._walk(action.text(0))
        return Performed(action)

    def _walk(self, place: str) -> None:
        if place != self.place:
            if place != BENCH:  # the bonnet stays as it is
                self.world.set(bonnet=float(place == BAY))
            self.world.set(occupants=float(place == SEAT))
            self.world.wait(WALK_MINUTES * MINUTE)
            self.place = place

    def _require(self, thing: Check | Repair) -> None:
        if not thing.fits(self.vehicle):
            raise NotPossible(say("'{id}' does not exist on this vehicle, expected one that 'look' lists", id=thing.id))
        if missing := self.missing_needs(thing.needs):
            needed = _(" and ").join(_(NEEDS[need]) for need in missing)
            raise NotPossible(say("'{id}' cannot be done now, expected {needed}", id=thing.id, needed=needed))

    def _open_cap(self, done: Performed) -> None:
        q, y = self.fleet.algebraic, self.fleet.state
        hottest = np.maximum(y[:, st.JACKET], y[:, st.UPPER])
        done.scalded = (q["pressure_kPa"] > SCALDING_KPA) & (hottest > SCALDING_C)
        done.unsafe = (hottest > UNSAFE_C) | ((q["pressure_kPa"] > UNSAFE_KPA) & (hottest > WARM_C))
        self.world.set(cap=0.0)

    def _check(self, action: Action) -> Performed:
        check = self.catalogue.checks.get(action.text(0))
        if check is None:
            raise NotPossible(say("there is no check '{id}', expected one that 'look' lists", id=action.text(0)))
        self._require(check)
        if check.drive_kmh > 0.0:
            self._require_engine()
        minutes = check.minutes
        if len(action.arguments) > 1:
            minutes = _within(action.number(1), 0.0, check.minutes, _("minutes"))
        done = Performed(action)
        self._begin(check, done)
        self._look(check, minutes, done)
        if check.does and not done.broken_off:
            self.fleet.unshare_parameters()
            self._finish(check.does)
        if check.opens_cap:
            self.world.set(cap=1.0)
        if check.drive_kmh > 0.0:
            self.world.set(**running())
        return done

    def _begin(self, check: Check, done: Performed) -> None:
        """Go where a check is done, drive off where it is on the road, take off the cap where it wants that."""
        self._walk(SEAT if check.place == ROAD else check.place)
        if check.drive_kmh > 0.0:
            self.world.set(bonnet=0.0, **running(kmh=check.drive_kmh))
        if check.opens_cap:
            self._open_cap(done)

    def look_together(self, checks: Sequence[Check]) -> dict[str, list[Look]]:
        """What each of several checks would show if it alone were done now, by its id; then it is the end of the
        longest. They hold the same controls and read once (``Check.held``), so that one run serves them all.
        """
        held = checks[0].held
        if held is None or any(check.held != held for check in checks):
            raise ValueError("checks that hold different controls cannot share a run")
        self._begin(checks[0], Performed(Action("check", (checks[0].id,))))
        self.world.set(**checks[0].readings[0].sets)
        began, out = self.world.now, {}
        for check in sorted(checks, key=lambda one: one.read_at):
            self._pass(check, began + check.read_at * MINUTE - self.world.now)
            looks = [Look(spec, QUANTITIES[spec.quantity](self.fleet), self.minute) for spec in check.readings]
            out[check.id] = looks
        return out

    def _look(self, check: Check, minutes: float, done: Performed) -> None:
        """Spend the check's minutes and take its readings: alike settings at one time, each when it is due.

        Where the engine is at work somebody watches the gauge: in the red the check ends. minutes: how many of its own
        it lasts, fewer where it ended so.
        """
        groups: dict[tuple[object, ...], list[ReadingSpec]] = {}
        for spec in check.readings:
            groups.setdefault((*spec.sets.items(), spec.at), []).append(spec)
        share, began = check.minutes * MINUTE / max(len(groups), 1), self.world.now
        end = began + minutes * MINUTE
        for specs in groups.values():
            sets, at = specs[0].sets, specs[0].at
            due = self.world.now + share if at is None else began + at * MINUTE
            before = {name: self.control(name) for name in sets}
            self.world.set(**sets)
            whole = due <= end + AT_ONCE and self._pass(check, max(due - self.world.now, 0.0))
            if whole:
                done.readings += [Look(spec, QUANTITIES[spec.quantity](self.fleet), self.minute) for spec in specs]
            elif due > end + AT_ONCE:
                self._pass(check, end - self.world.now)
            self.world.set(**before)
            if not whole:
                break
        else:
            self._pass(check, end - self.world.now)
        self._end_in_the_red(check, (self.world.now - began) / MINUTE, done)

    def _pass(self, check: Check, seconds: float) -> bool:
        """Let time pass in a check; whether all of it did."""
        if seconds <= AT_ONCE:
            return True
        if is_watched(check):
            return run_watched(self.world, seconds) > seconds - AT_ONCE
        self.world.wait(seconds)
        return True

    def _end_in_the_red(self, check: Check, lasted: float, done: Performed) -> None:
        """Say of a check with the engine at work that it was broken off, and when [min]."""
        if not is_watched(check):
            return
        glance = self._glance(done)
        if lasted < check.minutes - AT_ONCE / MINUTE:
            done.action, done.broken_off = Action("check", (check.id, lasted)), True
            done.readings.append(glance)

    def _repair(self, action: Action) -> Performed:
        repair = self.catalogue.repairs.get(action.text(0))
        if repair is None:
            raise NotPossible(say("there is no repair '{id}', expected one that 'look' lists", id=action.text(0)))
        self._require(repair)
        done = Performed(action)
        self._walk(repair.place)
        if repair.opens_cap:
            self._open_cap(done)
        self.world.wait(repair.minutes * MINUTE)
        self.fleet.unshare_parameters()
        renew(self.fleet, repair.renews, self.good)
        self._finish(repair.does)
        if repair.opens_cap:
            self.world.set(cap=1.0)
        return done

    def _finish(self, operations: tuple[str, ...]) -> None:
        for name in operations:
            OPERATIONS[name](self.fleet)


def _cannot_be(control: str, given: str, expected: str) -> str:
    return say("{control} cannot be '{given}', expected one of: {names}", control=control, given=given, names=expected)


def _within(value: float, low: float, high: float, name: str) -> float:
    if not low <= value <= high:
        raise NotPossible(
            say("{name} cannot be {value:g}, expected {low:g} to {high:g}", name=name, value=value, low=low, high=high)
        )
    return value
