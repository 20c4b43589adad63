"""One vehicle's rates of change, written a second time: plain Python, energies of nodes instead of temperatures.

Nothing is taken from ``sim`` but the order of the state vector. Each node's energy E = m u gains what flows and
conducts in; its temperature follows from dE/dt = u dm/dt + m cp dT/dt. An error in one of the two texts shows as a
difference.
"""

from collections.abc import Mapping, Sequence
from math import exp, sqrt

from tests.reference import properties as law
from tests.reference.network import branch_flows

OPEN = 1e9
STANDARD = 101.325
ROOM = 293.15


class Vehicle:
    """Parameters, controls and switches of one vehicle by name; ``rates(t, y)`` for an integrator."""

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
    ) -> None:
        """Parameters, controls; fan: 1 while its switch is closed; blend_left: where the door was left, asked: by
        what setting of its control; contact: 0 while a loose one is open; stopped: 1 while the engine stopped itself;
        broken: 1 while it has seized or its battery is flat.
        """
        self.p, self.c, self.fan, self.blend_left, self.asked = dict(p), dict(c), fan, blend_left, asked
        p, c = self.p, self.c
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
        self.rpm = max(p["idle_rpm"], c["rpm"], c["kmh"] * p["rpm_per_kmh"]) if self.runs else 0.0
        road = (p["rolling_N"] + p["drag_N_per_kmh2"] * c["kmh"] ** 2) * c["kmh"] / 3600.0
        self.work = road + p["accessory_kW"] + c["load_kW"] if self.runs else 0.0
        self.warm_heat = (
            p["heat_at_1000"] * (self.rpm / 1000.0) ** p["heat_speed_exponent"] + p["heat_per_work"] * self.work
        )
        self.speed = self.rpm / 1000.0 * p["pump_grip"] * p["pump_drive"]
        self.hoses = 0.0
        for resistance, share in (
            ("core_R", "core_clear"),
            ("heater_feed_R", "feed_clear"),
            ("heater_return_R", "return_clear"),
        ):
            bore = p[share]
            if share == "feed_clear":
                bore *= 1.0 - p["feed_soft"] * min(self.rpm / 2500.0, 1.0)
                self.feed_bore = max(bore, 1e-3)
            self.hoses += p[resistance] / max(bore, 1e-3) ** 2
        ask = p["boost_head_kPa"] * p["boost_works"] * c["ignition"] * self.through(5.0)
        self.boost = ask * min(1.0, 10.0 * c["heater"])

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
        if drive == 0.0:
            moved = linkage
        elif drive == 1.0:
            moved = linkage * whole * min(max(vacuum * supply / 40.0, 0.0), 1.0)
        else:
            supply *= self.through(2.0 if part == "valve" else 3.0)
            moved = linkage if supply * self.c["ignition"] * whole > 0.5 else 0.0
            if holds:
                return min(max(self.blend_left + moved * (asked - self.asked), p[part + "_least"]), p[part + "_most"])
        return min(max(origin + moved * (asked - origin), p[part + "_least"]), p[part + "_most"])

    def circuit(self, charge: float, tip: float) -> tuple[float, float, float, float]:
        """Supply [V], blower current [A], its speed [-], voltage at its terminals [V]."""
        p, on = self.p, self.c["ignition"]
        rested, alive = self.battery(charge)
        if self.runs and p["charging_works"] > 0.5:
            source, ohms = p["charging_V"], 0.0
        else:
            source = rested - alive * on * p["battery_ohm"] * p["base_load_A"]
            ohms = p["battery_ohm"]
        inner = ohms
        ohms += (
            p["blower_relay_ohm"]
            + p["blower_switch_ohm"]
            + (OPEN if p["blower_fuse"] < 0.5 or self.through(1.0) < 0.5 else 0.0)
        )
        setting = self.c["blower"] * on
        if p["automatic"] > 0.5:
            freed = min(max((tip + p["sensor_offset_K"] - p["lockout_C"]) / 10.0, 0.0), 1.0)
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
        around = ohms + p["blower_joint_ohm"] + p["motor_ohm"] + p["blower_ground_ohm"]
        # with k I = c w^2 the circuit is a quadratic in the root of the current
        k, c = p["motor_back_V"], p["motor_torque"]
        b = k * sqrt(k / c)
        root = 2.0 * pushed / (b + sqrt(b * b + 4.0 * around * pushed)) if pushed > 0.0 else 0.0
        amps = root * root
        speed = sqrt(k * amps / c)
        terminals = max(max(pushed - amps * (ohms + p["blower_joint_ohm"]), 0.0) - amps * p["blower_ground_ohm"], 0.0)
        return source - inner * amps, amps, speed, terminals

    def sensor(self, y: Sequence[float]) -> float:
        """Temperature [degC] that switches the electric fan, for the event."""
        return y[33] + self.p["sensor_offset_K"]

    def tip_rate(self, jacket: float, tip: float, missing: float) -> float:
        """Rate [K/s] of the sensor's tip, between coolant and what surrounds it when it stands in steam."""
        dry = 1.0 / (1.0 + (self.p["sensor_dry_L"] / missing) ** 6) if missing > 0.0 else 0.0
        goal = jacket * (1.0 - 0.45 * dry) + 0.45 * dry * self.c["ambient_C"]
        return (goal - tip) / self.p["sensor_s"] / (1.0 + 5.0 * dry)

    def bay(self, radiator: float, block: float, supply: float) -> tuple[float, float, float]:
        """Fan share [-], moving air [-], temperature under the bonnet [degC]."""
        p, c = self.p, self.c
        if p["fan_viscous"] > 0.5:
            grip = min(max((radiator - 70.0) / 15.0, 0.0), 1.0)
            slip = p["viscous_slip"]
            fan = (slip + grip - slip * grip) * min(self.rpm / 2500.0, 1.2) * p["fan_works"]
            fan = max(fan, p["fan_forced"])
        else:
            fan = max(self.fan * p["fan_works"], p["fan_forced"]) if supply > 8.0 else 0.0
        share = p["bay_share_open"] if c["bonnet"] > 0.5 else p["bay_share_closed"]
        bay = c["ambient_C"] + share * (block - c["ambient_C"]) / (1.0 + c["kmh"] / 25.0 + fan)
        return fan, min(fan + c["kmh"] / 30.0, 1.0), bay

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

    def rates(self, t: float, y: Sequence[float]) -> list[float]:
        """Rates dy/dt [units of ``sim.states`` per s]."""
        p, c, energy, c0, c1, capacity = self.p, self.c, self.energy, self.c0, self.c1, self.capacity
        metal, jacket, upper, radiator, feed, core, back, wax, lift, block = y[:10]
        feed_skin, return_skin, upper_skin, lower_skin, cabin, trim, held, bottle, _, gas = y[10:20]
        core_air, carpet, humidity, charge, vacuum = y[20:25]
        ambient, kmh = c["ambient_C"], c["kmh"]
        behind, behind_air = y[30], y[31]
        supply, amps, blower, volts = self.circuit(charge, y[33])
        mode_held = p["mode_moves"] * (min(max(vacuum / 40.0, 0.0), 1.0) if p["mode_vacuum"] > 0.5 else 1.0)
        self.mode = p["mode_rest"] + mode_held * (c["vents"] - p["mode_rest"])
        pressure, gas_L, vapour, air_kPa, mean = self.gas(y)
        missing = max(gas_L - p["tank_air_L"], 0.0)
        filled = min(max(core_air / p["core_L"], 0.0), 1.0)  # share of the core that is air
        fan, moving, bay = self.bay(radiator, block, supply)

        # openings of the loop
        gas_standard = max(gas, 0.0) / STANDARD
        neck = gas_L if gas_standard <= 1e-6 else gas_L * max(1.0 - (core_air + behind_air) / gas_standard, 0.0)
        gaseous = neck / (neck + 0.05)
        excess = max(pressure - p["cap_kPa"] * p["cap_seal"] * c["cap"], 0.0)
        spill = p["cap_flow"] * excess * (1.0 - gaseous) * min(max(10.0 * held, 0.0), 1.0)
        litres = p["cap_gas_flow"] * excess * gaseous
        steam = vapour * litres * 0.018015 / 8.314 / (jacket + 273.15)
        if c["cap"] > 0.5:
            inward = p["cap_vacuum_flow"] * p["cap_breathes"]
        else:  # of the gas that would leave at this much over the air outside, that amount comes in at so much under it
            outward = air_kPa * ROOM / (mean + 273.15) * p["cap_gas_flow"] * gaseous
            inward = max(outward / c["atmosphere_kPa"], p["cap_vacuum_flow"])
        sucked = inward * max(-pressure - p["cap_vacuum_kPa"] * c["cap"], 0.0)
        wet = p["has_bottle"] * c["cap"] * bottle / (max(bottle, 0.0) + 0.02)
        drawn = sucked * wet
        all_leaks = p["leak_hose"] + p["leak_pump"] + p["leak_core"] + p["leak_head"]
        seals, gaps = max(-35.0 - pressure, 0.0), max(-3.0 - pressure, 0.0)
        seeping = 0.002 * seals**2 / (1.0 + seals) + 0.029 * all_leaks * gaps**2 / (1.0 + gaps)
        drive = max(pressure + 3.0, 0.0) * min(max(held, 0.0), 1.0) / 1000.0
        leak = all_leaks * drive
        caught = (
            spill * c["cap"] * min(max(50.0 * (p["bottle_room_L"] - bottle), 0.0), 1.0)
            if p["has_bottle"] > 0.5
            else 0.0
        )
        gone = spill - caught + leak + steam

        # flows
        valve = self.place("valve", min(1.5 * self.heat, 1.0), vacuum, False)
        blend = self.place("blend", self.heat, vacuum, True)
        thick = law.thickness(jacket, p["glycol"], p["stiff_exponent"])
        ease = thick**-0.5
        # kilograms left over the same that would fill the loop, tank and all
        level = max(held, 0.0) / law.litre_mass(mean, p["glycol"]) / (self.liquid_L + p["tank_air_L"])
        drawn_wet = 1.0 / (1.0 + (missing / p["pump_dry_L"]) ** 6 / level) if level > 0.0 else 0.0
        head = p["pump_head_kPa"] * p["pump_vanes"] * self.speed**2 * drawn_wet
        head = head * head / (head + 0.3) if head > 0.0 else 0.0
        opened = min(max(lift, 0.0), 1.0)
        bypass_G = p["bypass_G"] * ease * (1.0 - p["bypass_plate"] * opened)
        main = p["radiator_G"] * p["radiator_clear"] * opened / sqrt(law.ice_factor(radiator, self.freezing))
        radiator_G = ease * (main + p["thermostat_weep"])
        resistance = self.hoses
        if p["has_valve"] > 0.5:
            resistance += (p["valve_weep"] + p["valve_G"] * valve) ** -2
        heater_G = (1.0 - filled) ** 1.5 / sqrt(resistance * thick * law.ice_factor(core, self.freezing))
        series = p["pump_droop"] + p["jacket_R"] * thick * law.ice_factor(jacket, self.freezing)
        behind_G, behind_free = 0.0, 0.0
        if p["rear_L"] > 0.0:
            behind_free = 1.0 - min(max(behind_air / p["rear_L"], 0.0), 1.0)
            behind_G = p["rear_G"] * ease * behind_free**1.5
        to_bypass, to_radiator, to_both, across = branch_flows(
            head, series, (bypass_G, radiator_G, heater_G + behind_G), self.boost
        )
        to_bypass, to_radiator, to_both = (drawn_wet * mixed for mixed in (to_bypass, to_radiator, to_both))
        to_heater = to_both * heater_G / (heater_G + behind_G) if heater_G + behind_G > 0.0 else 0.0
        to_behind = to_both - to_heater
        flow = to_bypass + to_radiator + to_both
        per_minute = law.litre_mass(jacket, p["glycol"]) / 60.0
        at_wax = jacket
        if p["at_inlet"] > 0.5 and flow > 0.0:
            at_wax = (to_bypass * jacket + to_radiator * radiator + to_heater * back + to_behind * behind) / flow

        # air through the heater
        fins = max(p["core_fins"], 0.05)
        duct = 1.0 + p["filter_R"] + 0.3 * blend * (fins**-2 - 1.0)
        outlet = 1.0 if self.mode < 0.5 else 1.1 if self.mode < 1.5 else 0.9
        fresh = 1.0 - 0.85 * self.recirculated
        pushes = (p["blower_m3_s"] * blower * p["wheel_grip"]) ** 2 + (p["ram_m3_s_kmh"] * kmh * fresh) ** 2
        intake = fresh * ambient + (1.0 - fresh) * cabin
        air = outlet * sqrt(1.15 * pushes / duct) * law.air_density(intake, c["atmosphere_kPa"])
        through_core = air * (p["blend_leak"] + blend * (1.0 - 2.0 * p["blend_leak"]))

        # conductances
        wetted = 1.0 / (1.0 + (missing / p["jacket_L"]) ** 2)
        liner = wetted * sqrt(p["metal_still_W_K"] ** 2 + (p["metal_coolant_W_K"] * (flow / 40.0) ** 0.6) ** 2)
        wind = (p["still_kg_s"] ** 2 + (p["fan_kg_s"] * fan) ** 2 + (p["ram_kg_s_kmh"] * kmh) ** 2) ** 0.5 * p[
            "radiator_fins"
        ]
        ua = p["radiator_UA"] * p["radiator_fins"] * wetted * (wind / 1.8) ** 0.6
        hot = per_minute * to_radiator * (c0 + c1 * radiator)
        to_outside = law.exchanged(ua, hot, 1006.0 * wind, upper, radiator, ambient)
        to_cabin = 0.0
        if through_core > 1e-6:
            outside = p["core_air_UA"] * p["core_fins"] * (through_core / 0.1) ** 0.6
            inside = p["core_coolant_UA"] * (max(to_heater, 0.02) / 8.0) ** 0.3
            ua = (1.0 - filled) / (1.0 / outside + 1.0 / inside) if outside > 0.0 else 0.0
            hot = per_minute * to_heater * (c0 + c1 * core)
            to_cabin = law.exchanged(ua, hot, 1006.0 * through_core, feed, core, intake)

        from_behind, behind_wind = 0.0, p["rear_air_kg_s"] * blower
        if p["rear_L"] > 0.0 and behind_wind > 1e-6:
            ua, hot = p["rear_UA"] * behind_free, per_minute * to_behind * (c0 + c1 * behind)
            from_behind = law.exchanged(ua, hot, 1006.0 * behind_wind, jacket, behind, cabin)

        # heat between nodes [W]
        cold = 1.0 + p["cold_extra"] * min(max((80.0 - metal) / 100.0, 0.0), 1.2)
        made = 1000.0 * self.warm_heat * cold if self.rpm > 0.0 else 0.0
        metal_jacket, metal_block = liner * (metal - jacket), p["metal_block_W_K"] * (metal - block)
        block_air = p["block_loss_W_K"] * (1.0 + p["block_loss_per_kmh"] * kmh) * (block - ambient)
        creep = p["creep_W_K"] * min(flow / 30.0, 2.0)
        open_mouth = valve if p["has_valve"] > 0.5 and p["valve_at_engine"] > 0.5 else 1.0
        into_feed = creep * (1.0 - filled) * open_mouth * self.feed_bore * (jacket - feed)
        into_return = 0.05 * creep * (1.0 - filled) * (jacket - back)
        into_upper = creep * (2.0 if p["at_inlet"] > 0.5 else 0.15) * (jacket - upper)
        small, big = p["hose_wall_W_K"], p["big_hose_wall_W_K"]
        walls = [
            small * (feed - feed_skin),
            small * (back - return_skin),
            big * (upper - upper_skin),
            big * (radiator - lower_skin),
        ]

        temperatures = [jacket, upper, radiator, feed, core, back, behind]
        u = [energy(x) for x in temperatures]
        gain = [
            metal_jacket - into_feed - into_return - into_upper - steam * law.evaporation_heat(jacket),
            into_upper - walls[2],
            -to_outside - walls[3],
            into_feed - walls[0],
            -to_cabin,
            into_return - walls[1],
            -from_behind,
        ]
        for litres_min, ring in ((to_radiator, (0, 1, 2)), (to_heater, (0, 3, 4, 5)), (to_behind, (0, 6))):
            for i, node in enumerate(ring):
                gain[node] += per_minute * litres_min * (u[ring[i - 1]] - u[node])
        u_bottle = energy(bay)
        change = drawn - spill - leak - steam
        node_rates = []
        for i, volume in enumerate(self.volumes):
            part = volume / self.liquid_L
            mass = part * max(held, 0.5)
            if mass == 0.0:  # no rear heater
                node_rates.append(0.0)
                continue
            energy_rate = gain[i] + part * (drawn * u_bottle - (spill + leak + steam) * u[i])
            node_rates.append((energy_rate - u[i] * part * change) / (mass * capacity(temperatures[i])))
        mean_u = sum(v * e for v, e in zip(self.volumes, u, strict=True)) / self.liquid_L
        enthalpy = (spill + leak + steam) * mean_u + steam * law.evaporation_heat(jacket) - drawn * u_bottle
        if held < 0.5:
            enthalpy += change * mean_u

        # wax and lift
        curve = [min(max((wax - p["opens_C"] + lower) / p["span_K"], 0.0), 1.0) for lower in (0.0, p["hysteresis_K"])]
        curve = [min(max(goal, p["lift_least"]), p["lift_most"]) for goal in curve]
        lift_rate = (max(curve[0] - lift, 0.0) - max(lift - curve[1], 0.0)) / p["lift_s"]
        middle = (wax - p["opens_C"] + 0.5 * p["hysteresis_K"]) / p["span_K"]
        if max(p["lift_least"], 0.0) < middle < min(p["lift_most"], 1.0):
            lift_rate += 0.3 / p["span_K"] * (at_wax - wax) / p["wax_s"]

        # hose skins, cabin
        film = moving * p["film_moving_W_m2K"] + (1.0 - moving) * p["film_still_W_m2K"]
        sides = ((feed_skin, "hose"), (return_skin, "hose"), (upper_skin, "big_hose"), (lower_skin, "big_hose"))
        skins = [
            (wall - film * p[size + "_area_m2"] * (skin - bay)) / p[size + "_skin_J_K"]
            for wall, (skin, size) in zip(walls, sides, strict=True)
        ]
        capacity_rate = 1006.0 * air
        warmed = to_cabin + amps * volts
        warmed += (
            1000.0
            * p["air_heater_kW"]
            * p["air_heater_works"]
            * float(self.runs)
            * min(1.0, max(0.0, 7.5 - jacket / 10.0))
            * min(1.0, 2.0 * self.heat)
            * min(1.0, capacity_rate / 30.0)
        )
        brought = warmed - capacity_rate * (cabin - intake) if capacity_rate >= 0.2 else 0.0
        into_trim = p["trim_W_K"] * (cabin - trim)
        shell = p["shell_W_K"] * (1.0 + p["shell_per_kmh"] * kmh) * (cabin - ambient)
        drying = 2e-5 / 30.0 * carpet * max(cabin + 10.0, 0.0)
        exchanged = (fresh * air + 0.002) * (c["outside_humidity"] - humidity)
        vent = cabin
        if capacity_rate >= 0.2:
            vent += (intake + warmed / capacity_rate - cabin) * exp(-p["duct_W_K"] / capacity_rate)
        facing = 0.65 if self.mode > 1.5 and air > 0.01 else 0.35
        glass = ambient + facing * max(cabin - ambient, 0.25 * (vent - ambient))
        above = humidity - law.saturated(glass, c["atmosphere_kPa"])
        if above > 0.0:
            mist = max(humidity - law.saturated(cabin, c["atmosphere_kPa"]), 0.0)
            exchanged -= 0.0005 * above + 1.2 * p["cabin_m3"] / 60.0 * mist
        manifold = p["vacuum_kPa"] * (1.0 - 0.85 * min(self.work / 30.0, 1.0)) if self.runs else 0.0
        slow = p["check_valve"] >= 0.5 and manifold <= vacuum

        # air in the core
        reach = valve / (valve + 0.05) if p["has_valve"] > 0.5 else 1.0
        push = reach * (across + self.boost) / p["lock_head_kPa"]
        loose = max(gas_standard - p["tank_air_L"], 0.0)
        core_air_rate = (
            max(loose - core_air - behind_air - p["neck_free_L"], 0.0)
            * (1.0 - filled)
            / (1.0 + push**2)
            / p["settle_s"]
        )
        core_air_rate -= (
            core_air * min(max(push - 1.0, 0.0), 3.0) / p["purge_s"] + max(core_air - gas_standard, 0.0) / 10.0
        )

        behind_push = min(max(across / p["rear_lock_kPa"] - 1.0, 0.0), 3.0) if p["rear_L"] > 0.0 else 0.0
        return [
            (made - p["oil_share"] * made - metal_jacket - metal_block) / (1000.0 * p["metal_kJ_K"]),
            *node_rates[:6],
            (at_wax - wax) / p["wax_s"],
            lift_rate,
            (p["oil_share"] * made + metal_block - block_air) / (1000.0 * p["block_kJ_K"]),
            *skins,
            (from_behind + brought - shell - into_trim + 100.0 * c["occupants"]) / (1000.0 * p["cabin_air_kJ_K"]),
            into_trim / (1000.0 * p["trim_kJ_K"]),
            drawn - caught - gone,
            caught - drawn,
            gone,
            (sucked * (1.0 - wet) + seeping) * c["atmosphere_kPa"]
            - air_kPa * litres * ROOM / (mean + 273.15)
            + p["gas_ingress"] * self.work / 10.0,
            core_air_rate,
            p["leak_core"] * drive - drying,
            (exchanged + 50.0 / 3.6e6 * c["occupants"] + drying) / (1.2 * p["cabin_m3"]),
            (
                30.0 - 30.0 * charge
                if self.runs and p["charging_works"] > 0.5
                else -amps - c["ignition"] * p["base_load_A"] * self.battery(charge)[1]
            )
            / 216000.0,
            (manifold - vacuum) / (1800.0 if slow else 0.5),
            max(metal - 130.0, 0.0) / 60.0,
            made,
            to_cabin + from_behind,
            to_outside,
            block_air + sum(walls) + enthalpy,
            node_rates[6],
            -behind_air / p["purge_s"] * behind_push,
            float(self.runs),
            self.tip_rate(jacket, y[33], missing),
        ]
