"""Mutants of sessions and their records: ``python -m tests.studies.mutants --only mutants_sessions``.

``tests.studies.mutation`` mutates functions automatically. This list holds what it cannot reach (module constants,
properties, class methods, cached functions, the fields of a record's lines) and rules that must never go unnoticed.
"""

from __future__ import annotations

from tests.studies.mutants import mutants_of

FOLDER = "tests/grading/sessions"

STANDS = "test_a_diagnosis_stands_in_place_of_the_others_or_beside_them"

ONE = "            if action.arguments[2:] != (ALSO,):\n"

MUTANTS = (
    # diagnoses
    *mutants_of(
        "scenarios/actions.py",
        f"{FOLDER}/test_session.py",
        (ONE, "            if True:\n", "only one fault can be declared", STANDS),
        (ONE, "            if False:\n", "no diagnosis can be taken back", STANDS),
        ("            stands.pop(action.text(0), None)\n", "", "a diagnosis is not renewed as the last", STANDS),
    ),
    *mutants_of(
        "grading/sessions/session.py",
        f"{FOLDER}/test_session.py",
        (
            "        if action.arguments[2:] not in ((), (ALSO,)):\n",
            "        if False:\n",
            "any word declares a fault beside others",
            "test_what_is_refused_is_told_and_leaves_nothing",
        ),
    ),
    # lines
    *mutants_of(
        "grading/sessions/line_format.py",
        f"{FOLDER}/records/test_record.py",
        (
            "    step: Step\n    shown: Name\n    minute",
            "    step: Step | bool\n    shown: Name\n    minute",
            "booleans as steps",
            "test_what_lukewarm_does_not_write_is_refused_with_its_place",
        ),
        (
            "    format: Literal[2]\n",
            "    format: int\n",
            "other format versions accepted",
            "test_what_lukewarm_does_not_write_is_refused_with_its_place",
        ),
    ),
    *mutants_of(
        "grading/sessions/line_format.py",
        f"{FOLDER}/records/test_line_format.py",
        (
            "\nLONGEST_LINE = 200_000\n",
            "\nLONGEST_LINE = 2_000_000\n",
            "lines ten times as long",
            "test_a_line_may_be_as_long_as_it_may_be",
        ),
        (
            "\nText = Annotated[str, Meta(max_length=LONGEST_TEXT)]",
            "\nText = str",
            "texts without end",
            "test_texts_and_lists_may_be_as_long_as_they_may_be",
        ),
        (
            "Meta(max_length=8)]",
            "Meta(max_length=9)]",
            "a ninth word in a record",
            "test_texts_and_lists_may_be_as_long_as_they_may_be",
        ),
        (
            "Minutes = Annotated[float, Meta(ge=0.0, le=1e7)]",
            "Minutes = float",
            "minutes before the start",
            "test_numbers_may_be_as_large_as_they_may_be",
        ),
        (
            "class ReadingField(Struct, forbid_unknown_fields=True):",
            "class ReadingField(Struct):",
            "unknown fields passed over",
            "test_a_line_that_lukewarm_does_not_write_is_refused",
        ),
    ),
    # modes
    *mutants_of(
        "grading/sessions/modes.py",
        f"{FOLDER}/test_modes.py",
        (
            "max(now - self.begun, 0.0)",
            "(now - self.begun)",
            "clock set back gives time",
            "test_time_left_in_an_exam",
        ),
        (
            "SHORTEST_EXAM, LONGEST_EXAM = 1.0, 600.0",
            "SHORTEST_EXAM, LONGEST_EXAM = 0.0, 6000.0",
            "an exam without end",
            "test_a_mode_that_no_record_has_is_refused",
        ),
        (
            "        if name != EXAM:\n            return cls(name)\n",
            "",
            "every mode has a clock",
            "test_a_record_that_says_nothing_was_made_freely",
        ),
        (
            "if not 0.0 <= begun < 1e11:",
            "if not begun < 1e11:",
            "an exam that began before there were clocks",
            "test_a_mode_that_no_record_has_is_refused",
        ),
    ),
    # records in the folder
    *mutants_of(
        "grading/sessions/records.py",
        f"{FOLDER}/records/test_records.py",
        (
            "return self.open and self.mode.exam",
            "return self.mode.exam",
            "an exam that is over stays sealed",
            "test_an_exam_is_sealed_until_it_is_over",
        ),
        (
            "return self.open and self.mode.exam",
            "return self.open",
            "every open job is sealed",
            "test_an_exam_is_sealed_until_it_is_over",
        ),
        (
            "return not handed_back(self.entries) and not self.given_up",
            "return not handed_back(self.entries)",
            "a job that was given up is open",
            "test_a_record_is_open_until_the_keys_are_back_or_the_job_is_given_up",
        ),
        (
            '(self.grade or {}).get("passed") is True',
            'bool((self.grade or {}).get("passed"))',
            "whatever is said of passing passes",
            "test_marks_are_told_as_far_as_they_are_any",
        ),
        (
            "return min(max(float(total), 0.0), 100.0) if",
            "return float(total) if",
            "marks beyond a hundred",
            "test_marks_are_told_as_far_as_they_are_any",
        ),
        (
            "return named[2] if named else",
            "return",
            "a copied record is of today",
            "test_a_record_is_of_the_day_in_its_name_or_of_its_last_line",
        ),
    ),
    # the record and its lock
    *mutants_of(
        "grading/sessions/record_lock.py",
        f"{FOLDER}/records/test_record_lock.py",
        (
            "return self._lock is not None",
            "return True",
            "a lock is held before it is taken",
            "test_who_takes_a_record_says_who_it_is_and_since_when",
        ),
        (
            'return _beside(self.path, "request").exists()',
            "return False",
            "requests go unheard",
            "test_requests_are_looked_for_while_the_record_is_held",
        ),
    ),
    *mutants_of(
        "grading/sessions/record.py",
        f"{FOLDER}/records/test_recorder.py",
        (
            'return [int(reading["step"]) for reading in self.data.get("readings", ())]',
            'return [int(reading["step"]) for reading in self.data.get("readings", ())][:1]',
            "the first reading alone is held",
            "test_an_entry_says_what_was_done_and_seen",
        ),
        (
            "None if message is None else from_data(message)",
            "None",
            "a hint loses its text",
            "test_an_entry_says_what_was_done_and_seen",
        ),
    ),
    *mutants_of(
        "grading/sessions/verification.py",
        f"{FOLDER}/test_verification.py",
        (
            '"minutes", "readings", "noticed", "safety")\n"""Keys',
            '"minutes", "readings", "noticed")\n"""Keys',
            "safety errors are taken from the record",
            "test_a_record_without_its_safety_errors_is_not_sound",
        ),
        (
            "return self.difference is None",
            "return True",
            "every record is sound",
            "test_the_first_difference_is_told",
        ),
    ),
    # versions
    *mutants_of(
        "grading/sessions/versions.py",
        f"{FOLDER}/records/test_versions.py",
        (
            'for name in ("perception.py", "session.py")',
            "for name in ()",
            "who reads is no part of the engine",
            "test_the_engine_is_all_that_decides_a_reading",
        ),
        (
            '.replace(b"\\r\\n", b"\\n")',
            "",
            "another end of line is another engine",
            "test_the_engine_is_all_that_decides_a_reading",
        ),
    ),
    # senses
    *mutants_of(
        "grading/sessions/perception.py",
        f"{FOLDER}/test_perception.py",
        (
            '"hand in the air", _blowing, through="air felt")',
            '"hand in the air", _blowing)',
            "warmth is felt without air",
            "test_what_is_missing_is_noticed_where_there_is_something_to_notice",
        ),
        (
            '"ear at the belt", _running, 1)',
            '"ear at the belt", _running)',
            "a quiet belt squeals",
            "test_each_sense_has_its_sentence",
        ),
        (
            'Sense((SEAT,), QUANTITIES["gauge needle"], "dash gauge", _has_gauge)',
            'Sense((SEAT,), QUANTITIES["gauge needle"], "dash gauge")',
            "the gauge is read without ignition",
            "test_each_sense_has_its_sentence",
        ),
        (
            "fleet.state[:, st.OVERHEATING]",
            "fleet.state[:, st.METAL]",
            "whatever is warm smells of overheating",
            "test_an_engine_that_was_overheated_smells_wherever_one_stands",
        ),
    ),
)
