"""The parts of one vehicle, written a second time: supplies, drives, sensor, fan and gas at a moment.

As in ``tests.reference.rates``, nothing is taken from ``sim``.
"""

from collections.abc import Mapping, Sequence
from math import sqrt
from typing import cast

from scipy.optimize import brentq

from tests.reference import properties as law

OPEN = 1e9
ROOM = 293.15


def fed(volts: float) -> float:
    """Share [-] of an electric vehicle's heat at a 12 V supply [V]."""
    return min(max(volts / 0.3 - 11.5 / 0.3, 0.0), 1.0)


class Parts:
    """Parameters, controls and switches of one vehicle by name, and what follows of them and of its state."""

    def __init__(
        self,
        p: Mapping[str, float],
        c: Mapping[str, float],
        fan: float,
        blend_left: float,
        asked: float,
        contact: float = 1.0,
        stopped: float = 0.0,
        broken: float = 0.0,
        valve_left: float = 0.0,
        cut: float = 0.0,
        cooling: float = 0.0,
    ) -> None:
        """Parameters, controls; fan: 1 while its switch is closed; blend_left: where the door was left, asked: by
        what setting of its control; contact: 0 while a loose one is open; stopped: 1 while the engine stopped itself;
        broken: 1 while it has seized or its battery is flat; valve_left: where the heater valve was left; cut: 1 while
        the coolant heater has cut itself out; cooling: 1 while an electric main pump runs with the engine off.
        """
        self.p, self.c, self.fan, self.blend_left, self.asked = dict(p), dict(c), fan, blend_left, asked
        p, c = self.p, self.c
        self.valve_left, self.cut, self.cooling = valve_left, cut, cooling
        self.held = contact if p["contact_shake"] < 0.5 or c["kmh"] > 0.0 else 1.0
        self.stopped = stopped + broken
        self.turn()
        self.heat = c["heater"] * p["command"]
        volumes = ("jacket_L", "upper_hose_L", "radiator_L", "feed_hose_L", "core_L", "return_hose_L", "rear_L")
        self.volumes = [p[name] for name in volumes]
        self.liquid_L = sum(self.volumes)
        self.c0, self.c1 = law.capacity_line(p["glycol"])
        self.freezing = law.ice_begins(p["glycol"])
        self.mode = p["mode_rest"]
        self.recirculated = c["recirculation"] if p["recirculation_moves"] > 0.5 else p["recirculation_rest"]

    def through(self, part: float) -> float:
        """Share [-] of a supply that a loose contact in part lets through."""
        return self.held if self.p["contact_of"] == part else 1.0

    def turn(self) -> None:
        """Speed, work and what follows of them alone."""
        p, c = self.p, self.c
        self.runs = c["engine"] > 0.5 and self.stopped < 0.5
        if p["isolation_kohm"] < 200.0 or p["interlock"] < 0.5:  # the drive does not switch its high voltage on
            self.runs = False
        self.rpm = max(p["idle_rpm"], c["rpm"], c["kmh"] * p["rpm_per_kmh"]) if self.runs else 0.0
        road = (p["rolling_N"] + p["drag_N_per_kmh2"] * c["kmh"] ** 2) * c["kmh"] / 3600.0
        self.work = road + p["accessory_kW"] + c["load_kW"] if self.runs else 0.0
        self.warm_heat = (
            p["heat_at_1000"] * (self.rpm / 1000.0) ** p["heat_speed_exponent"] + p["heat_per_work"] * self.work
        )
        self.speed = self.rpm / 1000.0 * p["pump_grip"] * p["pump_drive"]
        self.narrow(min(self.rpm / 2500.0, 1.0))
        ask = p["boost_head_kPa"] * p["boost_works"] * c["ignition"] * self.through(5.0)
        left = 8.0 / (8.0 + p["boost_ground_ohm"])
        if min(p["boost_fuse"], p["boost_relay"], p["boost_wire"]) <= 0.5 or left <= 0.5:
            left = 0.0
        self.boost = ask * min(1.0, 10.0 * c["heater"]) * left**2

    def narrow(self, suction: float) -> None:
        """Resistance of core and hoses, a soft feed hose drawn in by the pump's suction [-]."""
        p = self.p
        self.hoses = 0.0
        for resistance, share in (
            ("core_R", "core_clear"),
            ("heater_feed_R", "feed_clear"),
            ("heater_return_R", "return_clear"),
        ):
            bore = p[share]
            if share == "feed_clear":
                bore *= 1.0 - p["feed_soft"] * suction
                self.feed_bore = max(bore, 1e-3)
            self.hoses += p[resistance] / max(bore, 1e-3) ** 2

    def main_pump(self, charge: float, tip: float) -> float:
        """Current [A] of an electric main pump, 0 where the engine drives it; sets its speed.

        charge [-] of the battery, tip [degC] of the temperature sensor.
        """
        p, c = self.p, self.c
        self.mute = False
        if p["electric_rpm"] <= 0.0:
            return 0.0
        self.mute = p["pump_command"] <= 0.5
        running = c["engine"] > 0.5 and c["ignition"] > 0.5
        wanted = 0.5 if self.cooling > 0.5 else 0.0
        if running:
            t = self.believed(tip)
            ramp = min(max(t / 15.0 - 4.0, 0.0), 1.0)
            wanted = 0.1 * (1.0 - ramp) + ramp * (0.25 + 0.4 * min(self.work, 25.0) / 25.0)
            if c["blower"] > 0.5:
                wanted = max(wanted, 0.35 * min(1.0, 10.0 * self.heat))
            wanted = 1.0 - (1.0 - wanted) * (1.0 - min(max(t / 12.0 - 8.0, 0.0), 1.0))
            if self.blind():
                wanted = 1.0
        lives = self.battery(charge)[0] > 8.0 or (self.runs and p["charging_works"] > 0.5)
        whole = all(p["pump_" + part] > 0.5 for part in ("fuse", "relay", "wire"))
        self.speed = 0.0
        amps = 0.0
        if not (lives and whole and (c["ignition"] > 0.5 or self.cooling > 0.5)):
            self.mute = True
        else:
            amps = 0.15
            if p["pump_command"] <= 0.5:
                wanted = 1.0
            if p["pump_motor"] >= 0.5 and p["pump_free"] >= 0.5:
                # motor and ground in series: what is left of the voltage drives n against a torque of n^2
                ratio = p["pump_ground_ohm"] / 0.56
                most = cast(float, brentq(lambda n: n + ratio * n * n - 1.0, 0.0, 1.0, xtol=1e-15))
                load = 0.2 + 0.8 * p["pump_vanes"] * p["pump_grip"] ** 3
                turns = wanted
                amps += 24.0 * load * (most**2 if wanted > most else wanted**3)
                if wanted > most:
                    turns = most if most > 0.5 else 0.0
                self.speed = turns * p["electric_rpm"] / 1000.0 * p["pump_grip"] * p["pump_drive"]
                self.narrow(turns)
                return amps
            if p["pump_motor"] > 0.5 and wanted > 0.0:
                amps += 3.5
        self.narrow(0.0)
        return amps

    def air_heater_share(self) -> float:
        """Share of the supply that the electric air heater gets [-], its rated power at 14.1 V."""
        p = self.p
        if p["air_heater_kW"] <= 0.0 or p["air_heater_fuse"] <= 0.5 or p["air_heater_relay"] <= 0.5:
            return 0.0
        return 1.0 / (1.0 + p["air_heater_ground_ohm"] * 1000.0 * p["air_heater_kW"] / 14.1**2)

    def chills(self, blower: float) -> bool:
        """Whether the compressor runs, with the blower at that speed [-]."""
        p, c = self.p, self.c
        wanted = c["vents"] > 1.5 or c["recirculation"] > 0.5
        able = p["ac_fitted"] >= 0.5 and p["ac_clutch"] > 0.5 and p["refrigerant"] > 0.3
        return wanted and able and bool(self.runs) and blower >= 0.05 and c["ambient_C"] > 4.0

    def energy(self, t: float) -> float:
        """Energy of coolant [J/kg] above liquid of 0 degC."""
        return self.c0 * t + self.c1 * t * t / 2.0 - 333.6e3 * law.frozen(t, self.freezing)

    def capacity(self, t: float) -> float:
        """Its growth [J/(kg K)]."""
        return self.c0 + self.c1 * t + 333.6e3 * law.frozen_per_kelvin(t, self.freezing)

    def battery(self, charge: float) -> tuple[float, float]:
        """Voltage [V] of the battery at rest, and the share of its current that an empty one still gives."""
        full = max(charge, 0.0)
        alive = 1.0 - 1e-4 / (1e-4 + full**2)
        return alive * (self.p["battery_V"] - 3.0 + 3.0 * full), alive

    def place(self, part: str, asked: float, vacuum: float, holds: bool) -> float:
        """Where valve or blend door stands [-]."""
        p = self.p
        rest, linkage, drive, supply = p[part + "_rest"], p[part + "_linkage"], p[part + "_drive"], p[part + "_supply"]
        whole = p["valve_coil"] if part == "valve" else p["blend_motor"]
        origin = rest
        if part == "blend":
            linkage *= p["blend_learned"]
        if drive == 0.0:
            moved = linkage
        elif drive == 1.0:
            moved = linkage * whole * min(max(vacuum * supply / 40.0, 0.0), 1.0)
        else:
            supply *= self.through(2.0 if part == "valve" else 3.0)
            if part == "valve":
                supply *= 12.0 / (12.0 + p["valve_ground_ohm"]) if p["valve_fuse"] > 0.5 else 0.0
            moved = linkage if supply * self.c["ignition"] * whole > 0.5 else 0.0
            if part == "valve" and p["valve_stays"] > 0.5 and supply * self.c["ignition"] * whole <= 0.5:
                return min(max(self.valve_left, p["valve_least"]), p["valve_most"])
            if holds:
                return min(max(self.blend_left + moved * (asked - self.asked), p[part + "_least"]), p[part + "_most"])
        return min(max(origin + moved * (asked - origin), p[part + "_least"]), p[part + "_most"])

    def circuit(self, charge: float, tip: float, passes: float) -> tuple[float, float, float, float]:
        """Supply [V], blower current [A], its speed [-], voltage at its terminals [V].

        charge [-] of the battery; tip [degC] of the temperature sensor; passes [-]: air that the duct lets through at
        one speed of the wheel, of the usual.
        """
        p, on = self.p, self.c["ignition"]
        rested, alive = self.battery(charge)
        if self.runs and p["charging_works"] > 0.5:
            source, ohms = p["charging_V"], 0.0
        else:
            source = rested - alive * p["battery_ohm"] * (on * p["base_load_A"] + self.main_pump(charge, tip))
            ohms = p["battery_ohm"]
        inner = ohms
        ohms += (
            p["blower_relay_ohm"]
            + p["blower_switch_ohm"]
            + (OPEN if p["loom_burnt"] > 0.5 or p["blower_fuse"] < 0.5 or self.through(1.0) < 0.5 else 0.0)
        )
        setting = self.c["blower"] * on
        if p["automatic"] > 0.5:
            freed = min(max((self.believed(tip) - p["lockout_C"]) / 10.0, 0.0), 1.0)
            setting *= min(freed, 1.0 - p["lockout_stuck"])
        pushed = source
        if p["blower_electronic"] > 0.5:
            share = p["controller_works"] * (0.35 + 0.65 / 3.0 * (setting - 1.0)) if setting >= 0.5 else 0.0
            pushed *= share
            ohms += 0.0 if share > 0.0 else OPEN
        elif setting < 0.5:
            ohms += OPEN
        elif setting <= 3.5:
            pack = "pack_1_ohm" if setting < 1.5 else "pack_2_ohm" if setting < 2.5 else "pack_3_ohm"
            ohms += p[pack] if p["pack_whole"] >= 0.5 else OPEN
        around = ohms + p["blower_joint_ohm"] + p["motor_ohm"] + p["brush_ohm"] + p["blower_ground_ohm"]
        if self.through(6.0) < 0.5:
            around += OPEN
        # with k (I - I0) = c w^2, I0 what the bearings take, it is a quadratic in the root of what the wheel takes
        k = p["motor_back_V"]
        # bearings take a fifth; of the wheel's own torque a fifth is left without air, the rest comes with it
        c = p["motor_torque"] * (0.2 + p["wheel_grip"] ** 2 * (0.16 + 0.64 * passes))
        b = k * sqrt(k / c)
        bearings = p["bearing_drag"] / k
        over = pushed - around * bearings
        if over > 0.0:
            root = 2.0 * over / (b + sqrt(b * b + 4.0 * around * over))
            amps, speed = root * root + bearings, root * sqrt(k / c)
        else:
            amps, speed = pushed / around if pushed > 0.0 else 0.0, 0.0
        terminals = max(max(pushed - amps * (ohms + p["blower_joint_ohm"]), 0.0) - amps * p["blower_ground_ohm"], 0.0)
        return source - inner * amps, amps, speed, terminals

    def sensor(self, y: Sequence[float]) -> float:
        """Temperature [degC] that switches the electric fan, for the event."""
        return self.believed(y[33])

    def blind(self) -> bool:
        """Whether the computer has lost its temperature sensor: an open circuit or a short."""
        return self.p["sensor_ohm_extra"] > 1e6 or self.p["sensor_short"] > 0.5 or self.through(4.0) < 0.5

    def believed(self, tip: float) -> float:
        """Temperature [degC] that the computer goes by, from that of the sensor's tip [degC]."""
        return self.p["sensor_default_C"] if self.blind() else tip + self.p["sensor_offset_K"]

    def comfort(self, supply: float) -> float:
        """Share [-] of their power that an electric vehicle's heaters are asked for at a 12 V supply [V]."""
        if not self.runs:
            return 0.0
        spare = min(max(self.p["drive_charge"] - 0.08, 0.0) / 0.07, 1.0)
        return min(2.0 * self.heat, 1.0) * (0.2 + 0.8 * spare) * fed(supply)

    def heat_pump(self) -> float:
        """Heat [-] of a heat pump in this weather, of that at 0 degC."""
        outside = self.c["ambient_C"]
        return min(max(0.1 * outside + 2.0, 0.0), 1.0) * (1.0 + 0.03 * min(outside, 10.0))

    def pumped(self, supply: float, capacity_rate: float, intake: float) -> float:
        """Heat [W] of the heat pump to air of capacity_rate [W/K] that enters at intake [degC]."""
        if self.p["heat_pump_kW"] <= 0.0 or capacity_rate < 0.2:
            return 0.0
        filled = min(max(2.0 * self.p["refrigerant"] - 0.6, 0.0), 1.0)
        able = 1000.0 * self.p["heat_pump_kW"] * self.heat_pump() * filled * self.comfort(supply)
        return min(able, capacity_rate * max(46.0 - intake, 0.0))

    def coolant_heater(self, supply: float, tip: float) -> float:
        """Heat [W] of the high-voltage coolant heater, by the temperature [degC] of the sensor in its outlet."""
        p = self.p
        if p["coolant_heater_kW"] <= 0.0 or self.cut > 0.5 or self.blind():
            return 0.0
        goal = p["heater_goal_C"]
        if p["heat_pump_kW"] > 0.0:
            goal -= 24.0 * min(self.heat_pump(), 1.0)
        short = min(max((goal - self.believed(tip)) / 15.0, 0.0), 1.0)
        plug = supply * self.c["ignition"] * p["coolant_heater_fuse"] * p["coolant_heater_supply"]
        return 1000.0 * p["coolant_heater_kW"] * p["coolant_heater_works"] * self.comfort(supply) * short * fed(plug)

    def tip_rate(self, coolant: float, tip: float, missing: float) -> float:
        """Rate [K/s] of the sensor's tip, between coolant and what surrounds it when it stands in steam."""
        dry = 1.0 / (1.0 + (self.p["sensor_dry_L"] / missing) ** 6) if missing > 0.0 else 0.0
        goal = coolant * (1.0 - 0.45 * dry) + 0.45 * dry * self.c["ambient_C"]
        return (goal - tip) / self.p["sensor_s"] / (1.0 + 5.0 * dry)

    def bay(
        self, upper: float, radiator: float, engine: float, under: float, ran: float, supply: float
    ) -> tuple[float, float, float]:
        """Fan share [-], moving air [-], rate of the temperature under the bonnet [K/s]."""
        p, c = self.p, self.c
        if p["fan_viscous"] > 0.5:
            felt = 0.25 * c["ambient_C"] + 0.375 * (upper + radiator)
            grip = p["fan_works"] * min(max(felt / 12.0 - 52.0 / 12.0, 0.0), 1.0)
            grip = max(grip, min(1.0, (40.0 - ran) / 15.0))
            slip = p["viscous_slip"]
            fan = (slip + grip - slip * grip) * min(self.rpm / 2500.0, 1.2) * p["pump_drive"]
            fan = max(fan, p["fan_forced"])
        else:
            asked = 1.0 if (self.blind() or self.mute) and c["ignition"] > 0.5 else self.fan
            fan = max(asked * p["fan_works"], p["fan_forced"]) if supply > 8.0 else 0.0
        share = p["bay_share_open"] if c["bonnet"] > 0.5 else p["bay_share_closed"]
        goal = c["ambient_C"] + share * (engine - c["ambient_C"]) / (1.0 + c["kmh"] / 40.0 + fan)
        rate = (goal - under) * (1.0 + c["kmh"] / 40.0 + fan) / p["bay_s"]
        return fan, min(fan + c["kmh"] / 30.0, 1.0), rate

    def gas(self, y: Sequence[float]) -> tuple[float, float, float, float, float]:
        """Pressure [kPa], gas [L], vapour [kPa], air's pressure [kPa], mean temperature [degC]."""
        p, c = self.p, self.c
        mean = sum(v * y[i] for v, i in zip(self.volumes, (1, 2, 3, 4, 5, 6, 30), strict=True)) / self.liquid_L
        vapour = law.boiling_pressure(y[1], p["glycol"]) * min(max(10.0 * y[16], 0.0), 1.0)
        liquid = max(y[16], 0.05) / law.litre_mass(mean, p["glycol"])
        below = c["atmosphere_kPa"] - vapour
        amount = max(y[19], 0.0) * (mean + 273.15) / ROOM
        pressure, gas_L = law.cushion(
            self.liquid_L + p["tank_air_L"] - liquid, p["compliance_L_kPa"], 1.2 * p["upper_hose_L"], amount, below
        )
        return pressure, gas_L, vapour, pressure + below, mean
