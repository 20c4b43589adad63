"""Working safely, each rule changed: ``python -m tests.studies.mutants --only mutants_safety``."""

from __future__ import annotations

from tests.studies.mutants import mutants_of

RED, SAFELY = "tests/grading/sessions/test_in_the_red.py", "tests/scenarios/disputed/test_working_safely.py"
ROAD, WATCH = "tests/grading/marks/test_roadworthy.py", "tests/scenarios/test_red_watch.py"
SHOWN = "test_running_on_is_an_error_once_it_was_shown"
RAN_ON = "test_running_on_and_starting_again_are_critical_errors"
ASKED = "tests/grading/sessions/test_cautions.py"

MUTANTS = (
    *mutants_of(
        "grading/sessions/session.py",
        RED,
        (
            "if self.must_switch_off and self.switches_off else outcome",
            "if False else outcome",
            "the engine idles on in the red",
        ),
        ("        if repair.hazard:\n", "        if False:\n", "dangerous work is not marked"),
        ("            if one.safety_error:\n", "            if False:\n", "what came of wrong work is not marked"),
        ("            outcome.said.append(_(one.message))\n", "", "what came of wrong work is not told"),
    ),
    *mutants_of(
        "grading/sessions/verification.py",
        RED,
        (
            "if difference is None and same and entry.action != SWITCH_OFF:",
            "if False:",
            "a record may idle on in the red",
            "test_a_record_that_leaves_the_engine_running_in_the_red_is_not_sound",
        ),
        (
            "first = [] if same else _allowing(session, recorded)",
            "first = []",
            "what another version allowed is refused",
            "test_what_another_version_allowed_is_made_possible_first",
        ),
    ),
    *mutants_of(
        "sim/repairs.py",
        SAFELY,
        ("burns = (shorted & ~blows)", "burns = shorted", "a dead short burns the wire behind a larger fuse"),
        (
            '(unprotected & (p["bearing_drag"] > AUDIBLE_DRAG))',
            "(unprotected & False)",
            "a dragging motor burns nothing",
        ),
        ('* np.exp(-p["core_km"] / SEAM_AGEING_KM) < MAINS_KPA', "< MAINS_KPA", "seams do not age"),
        ('    p["core_clear"] *= SEALED_CORE**settled\n', "", "sealant leaves the core open"),
        ('    p["radiator_clear"] *= SEALED_RADIATOR**settled\n', "", "sealant leaves the radiator open"),
        ("    fleet.state[:, st.OVERHEATING] = 0.0\n", "", "a new gasket suffers from the old one's heat"),
    ),
    *mutants_of(
        "sim/laws/gasket.py",
        SAFELY,
        ("DAMAGE_BEGINS_K_MIN = 180.0", "DAMAGE_BEGINS_K_MIN = 590.0", "the gasket gives only as the engine seizes"),
    ),
    *mutants_of(
        "grading/marks/roadworthy.py",
        ROAD,
        ("if air[0] < LEAST_AIR * air[1] or", "if", "no air at the screen is roadworthy"),
        ("or abs(outlet[0] - outlet[1]) > 0.5:", ":", "air that misses the screen is roadworthy"),
        ("return ambient_C > FREEZING_C or", "return True or", "cold air clears ice"),
        ("return ON_THE_EXHAUST", 'return ""', "coolant may drip onto the exhaust"),
        ('* world.fleet.parameters["over_exhaust"][0]', "", "every drip falls on the exhaust"),
        ("DRIPS_G_H = 30.0", "DRIPS_G_H = 3.0", "what dries drips"),
    ),
    *mutants_of(
        "grading/marks/comeback.py",
        ROAD,
        ('return "" if self.held else self.unroadworthy', "return self.unroadworthy", "the card does not count"),
        ("return self.held and not (self.unroadworthy or self.dangerous)", "return False", "a card costs nothing"),
    ),
    *mutants_of(
        "scenarios/watching.py",
        WATCH,
        ("MOST_IN_THE_RED = 2.0", "MOST_IN_THE_RED = 2.5", "it may run on in the red a little longer", SHOWN),
        ("MOST_IN_THE_RED = 2.0", "MOST_IN_THE_RED = 1.5", "there is hardly time to pull over", SHOWN),
        ("REALLY_HOT_C = 108.0", "REALLY_HOT_C = 80.0", "whoever sees a faulty gauge must stop"),
        (
            "        if was_shown and needle and not self._ran:\n",
            "        if False:\n",
            "it may be started again",
            SHOWN,
        ),
        (
            "if was_shown and needle and not self._ran:",
            "if was_shown and not self._ran:",
            "an engine that has cooled may not be started",
            SHOWN,
        ),
        (" or (signs and hot) or", " or", "lamp and steam show nothing", SHOWN),
        (" or (signs and hot) or", " or signs or", "a lamp that lights on a cool engine shows heat", SHOWN),
        (" or (was_shown and not runs)", "", "who has stopped forgets why", SHOWN),
        (
            "        if not self.shown:\n            self.minutes = 0.0\n",
            "",
            "red minutes are never forgotten",
            SHOWN,
        ),
        ("        if was_shown and self._ran and runs:\n", "        if runs:\n", "reaching the red is an error", SHOWN),
        ('return error if new else ""', "return error", "running on is told again and again", SHOWN),
    ),
    *mutants_of(
        "grading/sessions/session.py",
        RED,
        (
            "SafetyEvent(self.minute, error, True)",
            "SafetyEvent(self.minute, error, False)",
            "running on in the red is only a slip",
            RAN_ON,
        ),
        (
            "SafetyEvent(self.minute, repair.hazard, True)",
            "SafetyEvent(self.minute, repair.hazard, False)",
            "dangerous work is only a slip",
        ),
    ),
    *mutants_of(
        "grading/sessions/session.py",
        "tests/grading/sessions/test_outcomes.py",
        (
            'N_("opened the cap under pressure: scalded by hot coolant"), True)',
            'N_("opened the cap under pressure: scalded by hot coolant"), False)',
            "a scald is only a slip",
            "test_a_cap_that_is_opened_hot_burns_or_could_have",
        ),
        (
            'N_("opened the cap while the coolant was hot"), True)',
            'N_("opened the cap while the coolant was hot"), False)',
            "a hot cap is only a slip",
            "test_a_cap_that_is_opened_hot_burns_or_could_have",
        ),
    ),
    *mutants_of(
        "grading/sessions/session.py",
        ASKED,
        (
            "if one.id not in given and hazard_exists(self.workshop, one, thing)]",
            "if one.id not in given]",
            "asked without a hazard",
        ),
        ("if one.id not in given and hazard_exists", "if hazard_exists", "asked again and again"),
    ),
    *mutants_of(
        "grading/reference/preparation.py",
        SAFELY,
        (
            'if ran or workshop.control("engine") > 0.5:',
            'if workshop.control("engine") > 0.5:',
            "a check that ran the engine leaves it cold",
        ),
        ("if state.engine > 0.5 or kind.runs_engine else", "if state.engine > 0.5 else", "the rollout thinks it cold"),
        ("    wants_engine = wants_engine or check.runs_engine\n", "", "an overheated engine is run at the filler"),
    ),
)
