"""The workshop: actions on one vehicle or on a fleet of possible vehicles.

A session runs it with n = 1, where instruments read the quantities of a check. The observer runs the same code with
thousands of particles and computes the likelihood of the recorded readings.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import NamedTuple

import numpy as np

from scenarios import watching
from scenarios.actions import Action, NotPossible, cannot_be, within
from scenarios.arrival_codes import add_arrival_codes
from scenarios.language import N_, Listed, _, say
from scenarios.model import (
    BAY,
    BENCH,
    ELECTRIC,
    NEEDS,
    ROAD,
    SEAT,
    STANDING_PLACES,
    Catalogue,
    Check,
    ReadingSpec,
    Repair,
    Vehicle,
)
from scenarios.watching import TIME_TOLERANCE_S, WATCH, in_the_red, is_watched, run_watched
from sim.fleet import Fleet
from sim.observation.quantities import QUANTITIES
from sim.repairs import OPERATIONS, renew, settle_sealant
from sim.vehicle import states as st
from sim.vehicle.records import concatenate_records, take_records
from sim.world import MINUTE, STOPPED, Weather, World, running

WALK_MINUTES = 0.5
"""Time to walk from one place to another."""
VENTS = {N_("floor"): 0.0, N_("face"): 1.0, N_("screen"): 2.0}
SCALDING_KPA = 10.0  # pressure above which an opened cap ejects coolant
SCALDING_C = 55.0  # above which ejected coolant burns (common practice; ISO 13732-1 gives 51 degC for a minute, M)
UNSAFE_C = 45.0  # coolant temperature above which a cap must stay on at any pressure
UNSAFE_KPA, WARM_C = 5.0, 40.0  # pressure above which a cap must stay on, unless the coolant is below WARM_C


class Look(NamedTuple):
    """True values behind a reading: what is read, the quantity of every vehicle (n,), and the time in the job [min]."""

    spec: ReadingSpec
    true: np.ndarray
    minute: float


@dataclass
class Performed:
    """Result of an action.

    action: as carried out, an interrupted drive with the minutes it lasted; minutes: its duration; broken_off: it ended
    early, with the needle in the red; in_the_red: the needle is in the red at its end and the engine must be switched
    off; readings: true values of each reading with its own time; scalded, unsafe (n,): whether an opened cap burnt the
    person, or should not have been opened; failed (n,): vehicles whose equations could not be solved to its end.
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
    """Vehicles of one type on one clock, all treated by the same actions."""

    def __init__(
        self,
        catalogue: Catalogue,
        vehicle: Vehicle,
        parameters: np.ndarray,
        good: np.ndarray,
        weather: Weather,
        atmosphere: float,
        *,
        sample_every: float | None = None,
    ) -> None:
        """Parameters (n,): on arrival; good (n,): the same vehicles without faults, the source of new parts."""
        self.catalogue = catalogue
        self.vehicle = vehicle
        self.good = good
        self.world = World(Fleet.cold(parameters, weather.mean, atmosphere), weather, 0.0, sample_every)
        self.place = SEAT
        add_arrival_codes(self.fleet, good)
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
        """An independent workshop in the same state, with all vehicles or those at an index.

        A copy of all vehicles shares their parameters, the largest part of their memory, until work changes them.
        """
        other = object.__new__(Workshop)
        other.catalogue, other.vehicle, other.place = self.catalogue, self.vehicle, self.place
        fleet = self.fleet.snapshot() if keep is None else self.fleet.select(keep)
        other.good = self.good if keep is None else take_records(self.good, keep)
        other.world = World(fleet, self.world.weather, self.world.now)
        return other

    def joined(self, other: Workshop, order: np.ndarray) -> Workshop:
        """A workshop with the vehicles of both; order: index into the own vehicles followed by the other's."""
        whole = self.copy(order[:0])
        whole.world.fleet = Fleet.joined(self.fleet, other.fleet).select(order)
        whole.good = take_records(concatenate_records([self.good, other.good]), order)
        return whole

    def control(self, name: str) -> float:
        """Setting of a control, the same in every vehicle."""
        return float(self.fleet.controls[name][0])

    def missing_needs(self, needs: tuple[str, ...]) -> list[str]:
        """Those of some preconditions (keys of NEEDS) that are not met now."""
        holds = {
            "engine-off": self.control("engine") < 0.5,
            "engine-running": self.control("engine") > 0.5,
            "ignition-on": self.control("ignition") > 0.5,
            "ignition-off": self.control("ignition") < 0.5,
        }
        return [need for need in needs if not holds[need]]

    def perform(self, action: Action) -> Performed:
        """Carry out a physical action. Raises NotPossible before anything has changed."""
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
                raise NotPossible(cannot_be("vents", action.text(1), "floor, face, screen"))
            self.world.set(vents=VENTS[action.text(1)])
        elif name == "heater":
            self.world.set(heater=within(action.number(1), 0.0, 100.0, _("heater")) / 100.0)
        elif name == "blower":
            self.world.set(blower=float(round(within(action.number(1), 0.0, 4.0, _("blower")))))
        elif name == "recirculation":
            if action.text(1) not in ("on", "off"):
                raise NotPossible(cannot_be("recirculation", action.text(1), "on, off"))
            self.world.set(recirculation=float(action.text(1) == "on"))
        else:
            expected = "heater, blower, vents, recirculation"
            raise NotPossible(say("there is no control '{name}', expected one of: {names}", name=name, names=expected))
        return Performed(action)

    def _ignition(self, action: Action) -> Performed:
        if action.text(0) not in ("on", "off"):
            raise NotPossible(cannot_be("ignition", action.text(0), "on, off"))
        self.world.set(**({"ignition": 1.0} if action.text(0) == "on" else STOPPED))
        return Performed(action)

    def _engine(self, action: Action) -> Performed:
        if action.text(0) not in ("start", "stop"):
            raise NotPossible(cannot_be("engine", action.text(0), "start, stop"))
        if action.text(0) == "start":
            self.world.set(**running())
        else:
            self.world.set(engine=0.0, rpm=0.0, kmh=0.0, load_kW=0.0)
        return Performed(action)

    # -- time -------------------------------------------------------------------------------------------------------

    def _rev(self, action: Action) -> Performed:
        if ELECTRIC in self.vehicle.equipment:
            raise NotPossible(_("this vehicle has no engine, expected 'idle' for time at READY"))
        self._require_engine()
        rpm = within(action.number(0), 600.0, 5000.0, _("engine speed"))
        minutes = within(action.number(1), 0.0, 60.0, _("minutes"))
        return self._watched(action, 1, minutes, running(rpm=rpm))

    def _idle(self, action: Action) -> Performed:
        self._require_engine()
        minutes = within(action.number(0), 0.0, 240.0, _("minutes"))
        return self._watched(action, 0, minutes, running())

    def _drive(self, action: Action) -> Performed:
        self._require_engine()
        minutes = within(action.number(0), 0.0, 240.0, _("minutes"))
        kmh = within(action.number(1), 5.0, 130.0, _("road speed")) if len(action.arguments) > 1 else 50.0
        self._walk(SEAT)
        self.world.set(bonnet=0.0)
        return self._watched(action, 0, minutes, running(kmh=kmh))

    def _watched(self, action: Action, place: int, minutes: float, controls: dict[str, float]) -> Performed:
        """Run the engine and watch the gauge: a single vehicle is stopped when the needle goes into the red.

        A fleet runs for the given minutes, those that the recorded vehicle ran; whether the needle was in the red at
        their end is a reading. place: index of the minutes among the action's arguments.
        """
        self.world.set(**controls)
        ran = run_watched(self.world, minutes * MINUTE)
        done = Performed(action)
        if minutes * MINUTE - ran > TIME_TOLERANCE_S:
            arguments = list(action.arguments)
            arguments[place] = ran / MINUTE
            done.action, done.broken_off = Action(action.verb, tuple(arguments)), True
        if ELECTRIC not in self.vehicle.equipment:
            done.readings.append(self._glance(done))
        self.world.set(**running())
        return done

    def _glance(self, done: Performed) -> Look:
        """Read the needle at the end of a run, which decides whether to switch off."""
        look = Look(WATCH, watching.gauge_needle(self.fleet), self.minute)
        done.in_the_red = in_the_red(look.true)
        return look

    def _wait(self, action: Action) -> Performed:
        minutes = within(action.number(0), 0.0, 24.0 * 60.0, _("minutes"))
        aboard = self.control("occupants")
        # Nobody sits in a vehicle that is left to cool: breath would wet the glass.
        if self.control("engine") < 0.5:
            self.world.set(occupants=0.0)
        self.world.wait(minutes * MINUTE)
        self.world.set(occupants=aboard)
        return Performed(action)

    def _require_engine(self) -> None:
        if self.control("engine") < 0.5:
            raise NotPossible(_("the engine is not running, expected 'engine start' first"))

    # -- hands ------------------------------------------------------------------------------------------------------

    def _go(self, action: Action) -> Performed:
        if action.text(0) not in STANDING_PLACES:
            raise NotPossible(
                say(
                    "you cannot walk to '{name}', expected one of: {names}",
                    name=action.text(0),
                    names=_(Listed(STANDING_PLACES)),
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
            minutes = within(action.number(1), 0.0, check.minutes, _("minutes"))
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
        """Walk to the place of a check, drive off for one on the road, and open the cap if the check needs it."""
        self._walk(SEAT if check.place == ROAD else check.place)
        if check.drive_kmh > 0.0:
            self.world.set(bonnet=0.0, **running(kmh=check.drive_kmh))
        if check.opens_cap:
            self._open_cap(done)

    def look_together(self, checks: Sequence[Check]) -> dict[str, list[Look]]:
        """What each of several checks would read if it alone were done now, by check id. Time advances to the end of
        the longest. The checks must hold the same controls and read once (``Check.held``), so that one run serves all.
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
        """Let the check's minutes pass and take its readings when they are due, those with equal settings together.

        Where the engine runs, the gauge is watched, and the check ends in the red. minutes: its duration, shorter than
        its own where the recorded check ended early.
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
            whole = due <= end + TIME_TOLERANCE_S and self._pass(check, max(due - self.world.now, 0.0))
            if whole:
                done.readings += [Look(spec, QUANTITIES[spec.quantity](self.fleet), self.minute) for spec in specs]
            elif due > end + TIME_TOLERANCE_S:
                self._pass(check, end - self.world.now)
            self.world.set(**before)
            if not whole:
                break
        else:
            self._pass(check, end - self.world.now)
        self._end_in_the_red(check, (self.world.now - began) / MINUTE, done)

    def _pass(self, check: Check, seconds: float) -> bool:
        """Let time pass in a check; False if it was interrupted."""
        if seconds <= TIME_TOLERANCE_S:
            return True
        if is_watched(check):
            return run_watched(self.world, seconds) > seconds - TIME_TOLERANCE_S
        self.world.wait(seconds)
        return True

    def _end_in_the_red(self, check: Check, lasted: float, done: Performed) -> None:
        """Note that a check with the engine running was interrupted; lasted: after how long [min]."""
        if not is_watched(check):
            return
        glance = self._glance(done)
        if lasted < check.minutes - TIME_TOLERANCE_S / MINUTE:
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
