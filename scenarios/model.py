"""Data classes of the catalogue: vehicles, faults, checks, repairs, cautions, jobs."""

from __future__ import annotations

from collections.abc import Hashable
from dataclasses import dataclass, field, replace

from scenarios.language import N_

PLACES = (N_("driver's seat"), N_("engine bay"), N_("under the dash"), N_("on the road"), N_("bench"))
SEAT, BAY, DASH, ROAD, BENCH = PLACES
STANDING_PLACES = (SEAT, BAY, DASH, BENCH)
"""PLACES: where checks and repairs are done, in the order of the screens. STANDING_PLACES: those a person can go to;
for a check on the road the person is in the driver's seat."""

NEEDS = {
    "engine-off": N_("the engine stopped"),
    "engine-running": N_("the engine running"),
    "ignition-on": N_("the ignition at run"),
    "ignition-off": N_("the ignition off"),
}
"""Preconditions of checks and repairs, with the words of the refusal where one is not met."""

HAZARDS = ("engine runs", "engine has run", "fan can start")
"""Conditions under which a hazard exists: the engine runs or is run by the action; it has run in this job and may be
hot; it has run or the ignition is on."""

CONDITIONS = {
    "cold": N_("the engine cold, before it has run"),
    "warm": N_("the engine at operating temperature"),
    "heater-hot": N_("the heater control at full hot"),
    "blower-low": N_("the blower on 1"),
    "blower-high": N_("the blower on 4"),
    "idled": N_("the engine idled just before"),
    "fast-idle": N_("the engine held at 1500-2000 rpm"),
}
"""Conditions under which a check is meaningful; it is not refused outside them."""

SYSTEMS = (
    N_("coolant"),
    N_("flow"),
    N_("engine temperature"),
    N_("heater valve and core"),
    N_("doors"),
    N_("blower"),
    N_("sensors and control"),
    N_("electric heating"),
    N_("nothing wrong"),
)
"""Groups of faults, in the order of the screens."""

COST_CLASSES = {N_("none"): 0.0, N_("small"): 15.0, N_("medium"): 60.0, N_("large"): 200.0, N_("dear"): 600.0}
"""Price of parts by class, as minutes of work of equal cost (invented)."""


COMPLAINTS = {
    "cold": N_("the air at the vents stays cold or lukewarm with the engine warm"),
    "lukewarm": N_("warm air, but never as warm as it was"),
    "cold at idle": N_("warm while driving, cold while the engine idles"),
    "cold on the road": N_("warm at rest, cold on the road"),
    "cold standing": N_("cold while an engine that stops itself is stopped"),
    "cold in the rear": N_("warm in front, cold behind"),
    "slow": N_("warm in the end, but late"),
    "too warm": N_("heat with the control at cold"),
    "no air": N_("no air, or hardly any, on the speeds usually taken"),
    "weak air": N_("air on every speed, but less than there was"),
    "weak full speed": N_("the highest blower speed is weak, the lower ones are much as they were"),
    "wrong outlet": N_("air at another outlet than the one that was chosen"),
    "fogging": N_("the windows mist up"),
    "overheating": N_("the needle goes into the red, or coolant boils over"),
    "gauge": N_("the needle stands where it should not"),
    "wet carpet": N_("a wet carpet"),
    "losing coolant": N_("coolant has to be topped up, or there is a puddle"),
    "poor coolant": N_("rusty, thin or old coolant, told at a service"),
    "fan noise": N_("the radiator fan runs when it need not"),
}
"""Complaints of customers, in a technician's words."""


@dataclass(frozen=True, slots=True)
class Vehicle:
    """A type of vehicle. All of it invented.

    id; name; about: a sentence for people; equipment: words that faults, checks and repairs may require; parameters:
    differences from the defaults in ``sim.vehicle.parameters``; manual: label to text, as the vehicle's handbook states
    it; finds: check id to words saying where to find the point on this vehicle.
    """

    id: str
    name: str
    about: str
    equipment: frozenset[str]
    parameters: dict[str, float]
    manual: dict[str, str]
    finds: dict[str, str]


@dataclass(frozen=True, slots=True)
class Change:
    """How a fault alters one parameter.

    to: value at severity 1, reached straight from the healthy one; factor: instead, a factor at severity 1, reached
    geometrically; between: instead, two bounds between which the value is drawn for each vehicle, independent of the
    severity. chance: share of vehicles with this fault that have this change at all. Exactly one of to, factor and
    between is given.
    """

    parameter: str
    to: float | None = None
    factor: float | None = None
    chance: float = 1.0
    between: tuple[float, float] | None = None


@dataclass(frozen=True, slots=True)
class Fault:
    """Something wrong with a part, as a change of physical parameters.

    system: one of SYSTEMS; part, mode: a technician's names of the part and of its failure; rate: how common, relative
    to the others (rate_note says where from); severity: least and greatest that occurs, of 0..1; requires, excludes:
    equipment words; cured_by, relieved_by: repair ids; cured_in_passing: repairs that cure it only by work that goes
    with them, such as the filling and bleeding after another part, and checks that do the work once they have read;
    relief_days: how long a relieving repair lasts in daily use, 0 where there is none; shows: keys of COMPLAINTS that
    customers come with; comes_and_goes: whether they may say that it comes and goes; leads_to: ids of faults that it
    brings later if it is left; looked_at_by: ids of checks that look at the failed part itself or single it out, one of
    which a careful person does before condemning it; explains: two or three sentences for the debrief, what happens
    inside and how it shows; prevents: what would have prevented it.
    """

    id: str
    name: str
    system: str
    part: str
    mode: str
    rate: float
    rate_note: str
    severity: tuple[float, float]
    requires: frozenset[str]
    excludes: frozenset[str]
    changes: tuple[Change, ...]
    cured_by: tuple[str, ...]
    relieved_by: tuple[str, ...]
    explains: str
    prevents: str
    cured_in_passing: tuple[str, ...] = ()
    relief_days: float = 0.0
    shows: tuple[str, ...] = ("cold",)
    comes_and_goes: bool = False
    leads_to: tuple[str, ...] = ()
    looked_at_by: tuple[str, ...] = ()

    def fits(self, vehicle: Vehicle) -> bool:
        """Whether a vehicle can have this fault."""
        return self.requires <= vehicle.equipment and not self.excludes & vehicle.equipment


@dataclass(frozen=True, slots=True)
class ReadingSpec:
    """One reading that a check yields.

    label: what is read, for people; quantity: a name in ``sim.observation.quantities.QUANTITIES``; instrument: a name
    in ``sim.observation.instruments.INSTRUMENTS``; sets: controls held while this reading is taken (blower: 1),
    restored after; at: minutes into the check at which it is taken, None for when its share of them has passed.
    """

    label: str
    quantity: str
    instrument: str
    sets: dict[str, float] = field(default_factory=dict)
    at: float | None = None


@dataclass(frozen=True, slots=True)
class Check:
    """A procedure that yields readings.

    place: one of PLACES; minutes; tool; needs: keys of NEEDS; best_when: keys of CONDITIONS; requires: equipment;
    excludes: equipment beside which it makes no
    sense; cautions: ids of cautions; opens_cap: the cap comes off (and goes back on); does: names of operations in
    ``sim.repairs`` that the check performs once it has read, such as bleeding; protected: never counted against anyone;
    normal: what a sound vehicle shows, cold and warm, without the figures that the sound band gives, and what that does
    and does not mean; drive_kmh: road speed at which the
    check's minutes are spent, 0 standing; changes_meanwhile: its readings depend on what happens during its minutes, so
    that predicting them needs a simulation of these minutes (found by ``tests.studies.look_ahead``).
    """

    id: str
    name: str
    place: str
    minutes: float
    tool: str
    needs: tuple[str, ...]
    best_when: tuple[str, ...]
    requires: frozenset[str]
    cautions: tuple[str, ...]
    opens_cap: bool
    does: tuple[str, ...]
    protected: bool
    readings: tuple[ReadingSpec, ...]
    normal: str
    drive_kmh: float = 0.0
    changes_meanwhile: bool = False
    excludes: frozenset[str] = frozenset()

    @property
    def runs_engine(self) -> bool:
        """Whether the engine is started within the check."""
        return any(reading.sets.get("engine", 0.0) > 0.5 for reading in self.readings)

    @property
    def read_at(self) -> float:
        """Minutes into the check at which its last reading is taken."""
        return max((self.minutes if spec.at is None else spec.at for spec in self.readings), default=self.minutes)

    @property
    def held(self) -> Hashable:
        """Settings held while the check's minutes pass; checks with equal ones can share one simulation run. None for a
        check that takes readings at several times or settings, which needs a run of its own.
        """
        settings = {(*spec.sets.items(), spec.at) for spec in self.readings}
        if len(settings) != 1:
            return None
        return self.place, self.drive_kmh, self.opens_cap, tuple(self.readings[0].sets.items())

    def fits(self, vehicle: Vehicle) -> bool:
        """Whether the check exists on a vehicle."""
        return self.requires <= vehicle.equipment and not self.excludes & vehicle.equipment

    def on(self, vehicle: Vehicle) -> Check:
        """The check with its best conditions on a vehicle: an automatic control holds the blower back until the engine
        is warm, and readings with the blower on mean nothing before; an electric vehicle has no engine to hold at a
        speed.
        """
        if ELECTRIC in vehicle.equipment:
            return replace(self, best_when=tuple(state for state in self.best_when if state not in OF_AN_ENGINE))
        blows = any(spec.sets.get("blower", 0.0) > 0.0 and "engine" not in spec.sets for spec in self.readings)
        if not blows or AUTOMATIC not in vehicle.equipment or {"cold", "warm"} & {*self.best_when}:
            return self
        return replace(self, best_when=(*self.best_when, "warm"))


@dataclass(frozen=True, slots=True)
class Repair:
    """Work that changes the vehicle.

    renews: parameters brought back to a good part's; does: names of operations in ``sim.repairs`` done after; part:
    what is renewed, for people; cost: a key of COST_CLASSES; proven_by: check ids; hazard: what is dangerous about the
    act and is marked as a safety error, whatever comes of it; poor_work: what is bad work about it and costs marks for
    parts; both empty for sound work; the rest as in Check.
    """

    id: str
    name: str
    part: str
    place: str
    minutes: float
    cost: str
    needs: tuple[str, ...]
    requires: frozenset[str]
    cautions: tuple[str, ...]
    opens_cap: bool
    renews: tuple[str, ...]
    does: tuple[str, ...]
    proven_by: tuple[str, ...]
    hazard: str = ""
    poor_work: str = ""
    excludes: frozenset[str] = frozenset()

    def fits(self, vehicle: Vehicle) -> bool:
        """Whether the repair exists on a vehicle."""
        return self.requires <= vehicle.equipment and not self.excludes & vehicle.equipment


@dataclass(frozen=True, slots=True)
class Caution:
    """What a person does for safety before an act, confirmed once in a job: id; text: its first sentence the act, as
    done, then why; critical: passing over it can end a pass; requires: equipment without which there is no hazard;
    excludes: equipment beside which there is none; when: a key of HAZARDS, empty where the act brings the hazard
    itself.
    """

    id: str
    text: str
    critical: bool
    requires: frozenset[str] = frozenset()
    when: str = ""
    excludes: frozenset[str] = frozenset()

    def fits(self, vehicle: Vehicle) -> bool:
        """Whether the caution applies to a vehicle."""
        return self.requires <= vehicle.equipment and not self.excludes & vehicle.equipment


@dataclass(frozen=True, slots=True)
class Planted:
    """A fault in a job.

    fault: its id; severity: 0..1, or None to draw it within the fault's own bounds; days: how long the vehicle was
    driven with it, so that it arrives as they left it, or None for as the fault says; luck: 0..1, which of the fault's
    optional changes the vehicle has (those with a higher chance), or None to draw it.
    """

    fault: str
    severity: float | None
    days: int | None = None
    luck: float | None = None


AUTOMATIC = "automatic-control"
"""Equipment of a vehicle with automatic heating control."""
ELECTRIC = "electric-drive"
"""Equipment of a vehicle driven by a battery alone. Where others have a running engine, it is at READY."""
OF_AN_ENGINE = frozenset({"fast-idle", "idled"})
"""Keys of CONDITIONS that only an engine can meet."""
CRITERIA = (N_("diagnosis"), N_("efficiency"), N_("safety"), N_("parts"), N_("inquiry"), N_("calibration"))
"""Criteria of marking."""


@dataclass(frozen=True, slots=True)
class Job:
    """A vehicle with a complaint. Invented people and places.

    title; customer; complaint: in the customer's words; complains_of: what that is, keys of COMPLAINTS;
    comes_and_goes: whether the customer says that it comes and goes; vehicle: id; faults: planted, empty for none;
    ambient_C; altitude_m; mileage_km; history: what the job card knows; difficulty 1..5; warm_enough_C: vent
    temperature that nobody complains of in the month after; competences: an instructor's own code to the one of
    CRITERIA that shows it; competent_minutes, competent_checks: medians of competent technicians to the diagnosis,
    None where nobody has measured them; diagnosis_only: the fault is to be found, not mended.
    """

    id: str
    title: str
    customer: str
    complaint: str
    complains_of: tuple[str, ...]
    comes_and_goes: bool
    vehicle: str
    faults: tuple[Planted, ...]
    ambient_C: float
    altitude_m: float
    mileage_km: float
    history: str
    difficulty: int
    warm_enough_C: float
    competences: dict[str, str] = field(default_factory=dict)
    competent_minutes: float | None = None
    competent_checks: int | None = None
    diagnosis_only: bool = False

    @property
    def real_faults(self) -> tuple[str, ...]:
        """Ids of the faults that change the vehicle, ``none`` if there are none: a severity of 0 is no fault."""
        return tuple(planted.fault for planted in self.faults if planted.severity != 0.0) or ("none",)

    @property
    def days(self) -> int | None:
        """Longest time for which the vehicle was driven with a fault [days], None if not given."""
        return max((planted.days for planted in self.faults if planted.days is not None), default=None)


@dataclass(frozen=True)
class Catalogue:
    """All entries by id."""

    vehicles: dict[str, Vehicle]
    faults: dict[str, Fault]
    checks: dict[str, Check]
    repairs: dict[str, Repair]
    jobs: dict[str, Job]
    cautions: dict[str, Caution]

    def faults_of(self, vehicle: Vehicle) -> list[Fault]:
        """Faults that a vehicle can have, in catalogue order, ``none`` among them."""
        return [f for f in self.faults.values() if f.fits(vehicle)]

    def checks_of(self, vehicle: Vehicle) -> list[Check]:
        """Checks that exist on a vehicle, as they are best done on it, in catalogue order."""
        return [c.on(vehicle) for c in self.checks.values() if c.fits(vehicle)]

    def repairs_of(self, vehicle: Vehicle) -> list[Repair]:
        """Repairs that exist on a vehicle, in catalogue order."""
        return [r for r in self.repairs.values() if r.fits(vehicle)]

    def cautions_of(self, vehicle: Vehicle, thing: Check | Repair) -> list[Caution]:
        """Cautions of a check or repair on a vehicle, in the order of the data."""
        named = [self.cautions[name] for name in thing.cautions if name in self.cautions]
        return [caution for caution in named if caution.fits(vehicle)]
