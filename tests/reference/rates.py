"""One vehicle's rates of change, written a second time: plain Python, energies of nodes instead of temperatures.

Nothing is taken from ``sim`` but the order of the state vector. Each node's energy E = m u gains what flows and
conducts in; its temperature follows from dE/dt = u dm/dt + m cp dT/dt. An error in one of the two texts shows as a
difference.
"""

from collections.abc import Sequence
from math import sqrt

from tests.reference import properties as law
from tests.reference.network import branch_flows
from tests.reference.parts import ROOM, Parts

STANDARD = 101.325


class Vehicle(Parts):
    """One vehicle, of which an integrator asks ``rates(t, y)``."""

    def rates(self, t: float, y: Sequence[float]) -> list[float]:
        """Rates dy/dt [units of ``sim.vehicle.states`` per s]."""
        p, c, energy, c0, c1, capacity = self.p, self.c, self.energy, self.c0, self.c1, self.capacity
        metal, jacket, upper, radiator, feed, core, back, wax, lift, block = y[:10]
        feed_skin, return_skin, upper_skin, lower_skin, cabin, trim, held, bottle, _, gas = y[10:20]
        core_air, carpet, humidity, charge, vacuum = y[20:25]
        ambient, kmh = c["ambient_C"], c["kmh"]
        behind, behind_air = y[30], y[31]
        mode_held = p["mode_moves"] * (min(max(vacuum / 40.0, 0.0), 1.0) if p["mode_vacuum"] > 0.5 else 1.0)
        self.mode = p["mode_rest"] + mode_held * (c["vents"] - p["mode_rest"])
        blend = self.place("blend", self.heat, vacuum, True)
        fins = max(p["core_fins"], 0.05)
        outlet = 1.0 if self.mode < 0.5 else 1.1 if self.mode < 1.5 else 0.9
        passes = outlet * sqrt(1.15 / (1.0 + p["filter_R"] + 0.3 * blend * (fins**-2 - 1.0)))
        pump_amps = self.main_pump(charge, y[33])
        supply, amps, blower, volts = self.circuit(charge, y[33], passes)
        pressure, gas_L, vapour, air_kPa, mean = self.gas(y)
        missing = max(gas_L - p["tank_air_L"], 0.0)
        filled = min(max(core_air / p["core_L"], 0.0), 1.0)  # share of the core that is air
        bay, walls_C = y[34:36]
        fan, moving, bay_rate = self.bay(upper, radiator, (metal + block) / 2.0, bay, y[32], supply)

        # openings of the loop
        gas_standard = max(gas, 0.0) / STANDARD
        neck = gas_L * max(1.0 - (core_air + behind_air) / max(gas_standard, gas_L, 1e-6), 0.0)
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
        over = min(max(y[25] / 240.0 - 0.75, 0.0), 1.0)  # the gasket, from 180 to 420 K min
        ruined = 3.0 * over**2 - 2.0 * over**3
        places = ("hose", "pump", "radiator", "housing", "tee", "tank", "core", "head")
        all_leaks = sum(p["leak_" + place] for place in places) + 1e-3 * ruined
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
        quiet = max(1.0 - flow / 5.0, 0.0) ** 2
        held_air = max(gas_standard - p["tank_air_L"], 0.0)
        neck_room = max(p["neck_free_L"] - y[36], 0.0)
        wandering = max(held_air - core_air - behind_air - y[36], 0.0)
        roaming = wandering + max(missing - held_air - neck_room, 0.0)
        at_wax = jacket
        if p["at_inlet"] > 0.5 and flow > 0.0:
            at_wax = (to_bypass * jacket + to_radiator * radiator + to_heater * back + to_behind * behind) / flow

        # air through the heater
        fresh = 1.0 - 0.85 * self.recirculated
        pushes = (p["blower_m3_s"] * blower * p["wheel_grip"]) ** 2 + (p["ram_m3_s_kmh"] * kmh * fresh) ** 2
        intake = fresh * ambient + (1.0 - fresh) * cabin
        chilled = self.chills(blower)
        if chilled:
            intake = min(intake, 4.0 + 0.2 * (intake - 4.0))
        air = passes * sqrt(pushes) * law.air_density(intake, c["atmosphere_kPa"])
        through_core = air * (p["blend_leak"] + blend * (1.0 - 2.0 * p["blend_leak"]))
        from_heat_pump = self.pumped(supply, 1006.0 * through_core, intake)
        before_core = intake + (from_heat_pump / (1006.0 * through_core) if from_heat_pump > 0.0 else 0.0)

        # conductances
        wetted = 1.0 / (1.0 + (missing / p["jacket_L"]) ** 2)
        liner = wetted * sqrt(p["metal_still_W_K"] ** 2 + (p["metal_coolant_W_K"] * (flow / 40.0) ** 0.6) ** 2)
        wind = (p["still_kg_s"] ** 2 + (p["fan_kg_s"] * fan) ** 2 + (p["ram_kg_s_kmh"] * kmh) ** 2) ** 0.5 * p[
            "radiator_fins"
        ]
        outside = p["radiator_UA"] * p["radiator_fins"] * (wind / 1.8) ** 0.6
        inside = p["radiator_coolant_UA"] * (0.15 + 0.85 * to_radiator / 60.0)
        ua = wetted / (1.0 / outside + 1.0 / inside) if outside > 0.0 else 0.0
        hot = per_minute * to_radiator * (c0 + c1 * radiator)
        to_outside = law.exchanged(ua, hot, 1006.0 * wind, upper, radiator, ambient)
        to_cabin = 0.0
        if through_core > 1e-6:
            outside = p["core_air_UA"] * fins**0.4 * (through_core / 0.1) ** 0.6
            inside = p["core_coolant_UA"] * (max(to_heater, 0.02) / 8.0) ** 0.3
            ua = (1.0 - filled) / (1.0 / outside + 1.0 / inside) if outside > 0.0 else 0.0
            hot = per_minute * to_heater * (c0 + c1 * core)
            to_cabin = law.exchanged(ua, hot, 1006.0 * through_core, feed, core, before_core)

        from_behind, behind_wind = 0.0, p["rear_air_kg_s"] * blower
        if p["rear_L"] > 0.0 and behind_wind > 1e-6:
            ua, hot = (
                p["rear_UA"] * (behind_wind / 0.06) ** 0.6 * behind_free,
                per_minute * to_behind * (c0 + c1 * behind),
            )
            from_behind = law.exchanged(ua, hot, 1006.0 * behind_wind, jacket, behind, cabin)

        # heat between nodes [W]
        cold = 1.0 + p["cold_extra"] * min(max((80.0 - metal) / 100.0, 0.0), 1.2)
        made = 1000.0 * self.warm_heat * cold if self.rpm > 0.0 else 0.0
        made += self.coolant_heater(supply, y[33])
        metal_jacket, metal_block = (
            liner * (metal - jacket),
            p["metal_block_W_K"] * (1.0 - 0.9 * quiet * float(self.runs)) * (metal - block),
        )
        block_air = p["block_loss_W_K"] * (1.0 + p["block_loss_per_kmh"] * kmh) * (block - ambient)
        creep = p["creep_W_K"] * min(flow / 30.0, 2.0)
        open_mouth = valve if p["has_valve"] > 0.5 and p["valve_at_engine"] > 0.5 else 1.0
        wet_hose = max(1.0 - roaming / (p["feed_hose_L"] + p["return_hose_L"]), 0.0)
        into_feed = creep * wet_hose * open_mouth * self.feed_bore * (jacket - feed)
        into_return = 0.05 * creep * (1.0 - filled) * (jacket - back)
        rising = quiet * opened * (33.0 - 2.5 * min(max(air_kPa, 0.0), 10.0)) if jacket > upper else 0.0
        into_upper = (creep * (2.0 if p["at_inlet"] > 0.5 else 0.15) + rising) * (jacket - upper)
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
        warmed = to_cabin + amps * volts + from_heat_pump
        warmed += (
            1000.0
            * p["air_heater_kW"]
            * p["air_heater_works"]
            * self.air_heater_share() ** 2
            * float(self.runs)
            * min(1.0, max(0.0, 7.5 - jacket / 10.0))
            * min(1.0, 2.0 * self.heat)
            * min(1.0, capacity_rate / 30.0)
        )
        brought, into_duct = 0.0, 0.0
        into_trim = p["trim_W_K"] * (cabin - trim)
        from_duct = p["duct_W_K"] * (walls_C - cabin)
        shell = p["shell_W_K"] * (1.0 + p["shell_per_kmh"] * kmh) * (cabin - ambient)
        drying = 2e-5 / 30.0 * carpet * max(cabin + 10.0, 0.0)
        exchanged = (fresh * air + 0.002) * (c["outside_humidity"] - humidity)
        if chilled:
            drawn_in = fresh * c["outside_humidity"] + (1.0 - fresh) * humidity
            exchanged -= air * max(drawn_in - law.saturated(intake, c["atmosphere_kPa"]), 0.0)
        vent = cabin
        if capacity_rate >= 0.2:
            into_duct = (capacity_rate * (intake - walls_C) + warmed) * p["duct_share"]
            brought = warmed - capacity_rate * (cabin - intake) - into_duct
            vent += brought / capacity_rate
        inside_film = 20.0 if self.mode > 1.5 and air > 0.01 else 6.0
        facing = inside_film / (12.0 + inside_film + 0.6 * kmh)
        glass = ambient + facing * max(cabin - ambient, 0.25 * (vent - ambient))
        above = humidity - law.saturated(glass, c["atmosphere_kPa"])
        wetting = 1.3 / 1006.0 * inside_film * above
        film = max(y[37], 0.0)
        wetting *= max(1.0 - film / 0.06, 0.0) if above > 0.0 else film / (film + 0.001)
        exchanged -= wetting
        if above > 0.0:
            mist = max(humidity - law.saturated(cabin, c["atmosphere_kPa"]), 0.0)
            exchanged -= 1.2 * p["cabin_m3"] / 60.0 * mist
        manifold = p["vacuum_kPa"] * (1.0 - 0.85 * min(self.work / 30.0, 1.0)) if self.runs else 0.0
        slow = p["check_valve"] >= 0.5 and manifold <= vacuum

        # air in the core
        reach = valve / (valve + 0.05) if p["has_valve"] > 0.5 else 1.0
        push = reach * (across + self.boost) / p["lock_head_kPa"]
        gathers = wandering / (1.0 + push**2) / p["settle_s"] + (roaming - wandering) / 15.0
        core_air_rate = gathers * (1.0 - filled) - core_air * min(max(push - 1.0, 0.0), 3.0) / p["purge_s"]
        core_air_rate -= max(core_air - max(gas_standard, missing), 0.0) / 10.0
        inhaled = sucked * (1.0 - wet) + seeping
        neck_rate = p["bleed_line"] * wandering / p["part_s"] * min(flow / 10.0, 1.0)
        neck_rate = (neck_rate + inhaled * c["atmosphere_kPa"] / STANDARD) * neck_room / (neck_room + 0.02)
        neck_rate -= max(y[36] - max(held_air - core_air - behind_air, 0.0) - 0.02, 0.0) / 60.0

        behind_push = min(max(across / p["rear_lock_kPa"] - 1.0, 0.0), 3.0) if p["rear_L"] > 0.0 else 0.0
        return [
            (made - p["oil_share"] * made - metal_jacket - metal_block) / (1000.0 * p["metal_kJ_K"]),
            *node_rates[:6],
            (at_wax - wax) / p["wax_s"],
            lift_rate,
            (p["oil_share"] * made + metal_block - block_air) / (1000.0 * p["block_kJ_K"]),
            *skins,
            (from_behind + brought + from_duct - shell - into_trim + 100.0 * c["occupants"])
            / (1000.0 * p["cabin_air_kJ_K"]),
            into_trim / (1000.0 * p["trim_kJ_K"]),
            drawn - caught - gone,
            caught - drawn,
            gone,
            (sucked * (1.0 - wet) + seeping) * c["atmosphere_kPa"]
            - air_kPa * litres * ROOM / (mean + 273.15)
            + p["gas_ingress"] * max(self.work / 10.0 - p["gasket_holds_kW"] / 10.0, 0.0) * float(self.runs)
            + ruined * 2.5 * max(self.work + 5.5, 0.0) / 10.0 * float(self.runs),
            core_air_rate,
            p["leak_core"] * drive - drying + ((1.0 - p["scuttle_drain"]) + (1.0 - p["intake_seal"])) / 60000.0,
            (exchanged + 50.0 / 3.6e6 * c["occupants"] + drying) / (1.2 * p["cabin_m3"]),
            (
                30.0 - 30.0 * charge
                if self.runs and p["charging_works"] > 0.5
                else -amps - (c["ignition"] * p["base_load_A"] + pump_amps) * self.battery(charge)[1]
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
            self.tip_rate(
                jacket + (0.0 if p["coolant_heater_kW"] > 0.0 else 0.6 * quiet * (metal - jacket)), y[33], missing
            ),
            bay_rate,
            (into_duct - from_duct) / (1000.0 * p["duct_kJ_K"]),
            neck_rate,
            wetting,
        ]
