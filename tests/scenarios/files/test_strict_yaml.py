"""The strict reader against the YAML 1.2 core schema, against JSON, and against hostile files.

YAML 1.2.2, section 10.3.2 and example 10.9: F (read in a secondary copy). JSON: Python's own json module.
"""

import json
import math
from pathlib import Path

import pytest
import yaml
from hypothesis import example, given
from hypothesis import strategies as st

from scenarios.files import strict_yaml
from scenarios.files.strict_yaml import DataError, DataErrors, parse

BOTH = pytest.mark.parametrize("loader", [strict_yaml.LOADER, yaml.SafeLoader], ids=["compiled", "python"])


def errors_of(text: str) -> list[str]:
    """Every error of a text, one line each."""
    with pytest.raises(DataError) as caught:
        parse(text, "f")
    return str(caught.value).splitlines()


# Example 10.9, without its infinities and its not-a-number, which are errors here.
CORE_EXAMPLE = """\
A null: null
Also a null: # Empty
Not a null: ""
Booleans: [ true, True, false, FALSE ]
Integers: [ 0, 0o7, 0x3A, -19 ]
Floats: [ 0., -0.0, .5, +12e03, -2E+05 ]
"""


@BOTH
def test_core_schema_example(monkeypatch: pytest.MonkeyPatch, loader: type) -> None:
    monkeypatch.setattr(strict_yaml, "LOADER", loader)
    assert parse(CORE_EXAMPLE, "f").plain() == {
        "A null": None,
        "Also a null": None,
        "Not a null": "",
        "Booleans": [True, True, False, False],
        "Integers": [0, 7, 58, -19],
        "Floats": [0.0, -0.0, 0.5, 12000.0, -200000.0],
    }


@pytest.mark.parametrize("written", [".inf", "-.Inf", "+.INF", ".nan", ".NaN", ".NAN", "1e999", "-1e999"])
def test_numbers_that_are_not_finite_are_errors(written: str) -> None:
    (error,) = errors_of(f"a: {written}")
    assert error.startswith("f:1:4: ")


@pytest.mark.parametrize(
    "written",
    ["no", "yes", "on", "off", "y", "N", "1:30", "2026-01-31", "1_000", "0b11", "P0117", "e5", "+", ".", "-0x1F", "="],
)
def test_what_older_yaml_converts_is_text(written: str) -> None:
    assert parse(written, "f").value == written


@pytest.mark.parametrize(
    "written", ["9223372036854775808", "-9223372036854775809", "0x" + "f" * 5000, "9" * 5000, "0o" + "7" * 30]
)
def test_whole_numbers_beyond_64_bits_are_errors(written: str) -> None:
    (error,) = errors_of(written)
    assert "too large" in error


@given(st.integers(-(2**63), 2**63 - 1), st.floats(allow_nan=False, allow_infinity=False))
def test_numbers_come_back_as_written(whole: int, number: float) -> None:
    assert parse(f"[{whole}, {number!r}, {whole:#o}, {whole:#x}]", "f").plain() == [
        whole,
        number,
        whole if whole >= 0 else f"{whole:#o}",  # the core schema gives octal and hexadecimal no sign
        whole if whole >= 0 else f"{whole:#x}",
    ]


readable = st.text(st.characters(exclude_categories=["Cs", "Cc"]).filter(lambda mark: not _forbidden(mark)), max_size=8)
documents = st.recursive(
    st.none()
    | st.booleans()
    | st.integers(-(2**53), 2**53)
    | st.floats(allow_nan=False, allow_infinity=False)
    | readable,
    lambda inner: st.lists(inner, max_size=4) | st.dictionaries(readable, inner, max_size=4),
    max_leaves=12,
)


def _forbidden(mark: str) -> bool:
    return strict_yaml._FORBIDDEN.search(mark) is not None


@given(documents)
def test_json_reads_the_same_with_both_parsers(document: object) -> None:
    for text in (json.dumps(document, ensure_ascii=False), json.dumps(document, ensure_ascii=False, indent=2)):
        for loader in (strict_yaml.LOADER, yaml.SafeLoader):
            with pytest.MonkeyPatch.context() as patch:
                patch.setattr(strict_yaml, "LOADER", loader)
                assert parse(text, "f").plain() == document


def read_or_refuse(data: bytes) -> None:
    """Reads bytes; anything but a node or an error with a place fails the test."""
    for loader in (strict_yaml.LOADER, yaml.SafeLoader):
        with pytest.MonkeyPatch.context() as patch:
            patch.setattr(strict_yaml, "LOADER", loader)
            try:
                strict_yaml.read(data, "f").plain()
            except DataError as error:
                lines = data.count(b"\n") + data.count(b"\r") + 1
                for single in error.errors:
                    assert single.file == "f"
                    assert 1 <= single.line <= lines
                    assert single.column >= 1
                    assert str(single).isprintable()


@given(st.binary(max_size=200))
@example(b"\xff\xfea\x00")
@example(b"\xef\xbb\xbfa: 1")
@example(b'a: "\\U0011FFFF"')
@example(b'a: "\\uD800"')
@example(b"a: \xc2\x85b")
def test_any_bytes_give_a_node_or_an_error(data: bytes) -> None:
    read_or_refuse(data)


@given(st.text(st.sampled_from(list("ab01.:-?,[]{}#&*!|>'\"%@`~<=\\ \n\n\t\réx")), max_size=60))
@example("%TAG ! tag:x,1:\n---\n!a b\n")
@example("%YAML 9.9\n---\n")
@example("? ? ?\n")
@example("!<\n")
def test_any_punctuation_gives_a_node_or_an_error(text: str) -> None:
    read_or_refuse(text.encode())


def test_places_count_from_one_in_characters() -> None:
    entry = parse("\ufeffnäme: 'é'\nsteps:\n  - gruß: 7\n", "f").mapping()
    assert entry.value("näme").place == ("f", 1, 7)
    (step,) = entry.items("steps")
    assert step.place == ("f", 3, 5)
    assert step.mapping().value("gruß").place == ("f", 3, 11)


@pytest.mark.parametrize(
    ("text", "error"),
    [
        ("a: &x 1", "f:1:4: an anchor (&), "),
        ("a: *x", "f:1:4: an alias (*), "),
        ("*x : 1", "f:1:1: an alias (*), "),
        ("a: !!str 1", "f:1:4: a tag (!), "),
        ("a: !!python/name:os.system x", "f:1:4: a tag (!), "),
        ("a: ! 1", "f:1:4: a tag (!), "),
        ("<<: {a: 1}", "f:1:1: a merge key (<<), "),
        ("a: 1\n---\nb: 1", "f:2:1: a second document, "),
        ("%YAML 1.1\n---\na: no", "f:1:1: a directive (%), "),
        ("a: 1\nb: 2\na: 3", "f:3:1: key 'a' again, first on line 1, "),
        ("{a: 1, 'a': 2}", "f:1:8: key 'a' again, first on line 1, "),
        ("1: one", "f:1:1: 1 as a key, "),
        ("true: one", "f:1:1: true as a key, "),
        ("? \n: one", "f:1:2: no value as a key, "),
        ("? [a, b]\n: one", "f:1:3: a list as a key, "),
        ("", "f:1:1: the file is empty, "),
        ("# nothing\n", "f:2:1: the file is empty, "),
        ("a:\n\tb: 1", "f:2:1: not YAML: "),
        ("a: b: c", "f:1:5: not YAML: "),
        ("a: [1, 2", "f:1:9: not YAML: "),
        ("a: 1\n b: 2", "f:2:3: not YAML: "),
        ("a\0: 1", "f:1:2: the control or invisible character U+0000, "),
        ("a: 1\r\nb: \x1b[2J", "f:2:4: the control or invisible character U+001B, "),
        ("a: 1 # \u202e", "f:1:8: the control or invisible character U+202E, "),
        ("a: 1\u2028b: 2", "f:1:5: the control or invisible character U+2028, "),
        ('a: "\\e[2J"', "f:1:4: the control or invisible character U+001B, "),
        ('"\\u202e": 1', "f:1:1: the control or invisible character U+202E, "),
        ('a: "\\t"', "f:1:4: the control or invisible character U+0009, "),
    ],
)
def test_each_refusal_names_its_place(text: str, error: str) -> None:
    (found,) = errors_of(text)
    assert found.startswith(error)
    assert ", expected " in found


def test_errors_are_reported_together() -> None:
    found = errors_of("a: &x 1\nb: .nan\na: 2\nc: [1\nd: 2\n")
    assert [line.split(": ")[0] for line in found] == ["f:1:4", "f:2:4", "f:3:1", "f:5:2"]


def test_errors_without_end_stop_being_collected() -> None:
    with pytest.raises(DataErrors) as caught:
        parse("[" + ".nan," * 5000 + "]", "f")
    assert len(caught.value.errors) == strict_yaml.Problems.most


def nested(depth: int) -> str:
    return "[" * (depth - 1) + "1" + "]" * (depth - 1)


def test_depth_is_bounded() -> None:
    parse(nested(strict_yaml.MAX_DEPTH), "f")
    (error,) = errors_of(nested(strict_yaml.MAX_DEPTH + 1))
    assert error == f"f:1:{strict_yaml.MAX_DEPTH + 1}: values nested too deep, expected at most 32 levels"


@BOTH
@pytest.mark.parametrize("opening", ["[", "{a: ", "- ", "? ", "- ? "])
def test_hostile_depth_is_an_error(monkeypatch: pytest.MonkeyPatch, loader: type, opening: str) -> None:
    monkeypatch.setattr(strict_yaml, "LOADER", loader)
    (error,) = errors_of(opening * 100_000)
    assert "deep" in error or "depth" in error


def test_number_of_values_is_bounded() -> None:
    most = strict_yaml.MAX_NODES - 1  # the list itself is one
    assert len(parse(f"[{'1,' * most}]", "f").items()) == most
    (error,) = errors_of(f"[{'1,' * (most + 1)}]")
    assert "too many values" in error


def test_size_is_bounded(tmp_path: Path) -> None:
    path = tmp_path / "large.yaml"
    path.write_bytes(b"#" * (strict_yaml.MAX_BYTES - 2) + b"\n1")
    assert strict_yaml.load(path).integer() == 1
    path.write_bytes(b"#" * (strict_yaml.MAX_BYTES - 1) + b"\n1")
    with pytest.raises(DataError, match="too large, expected at most 1024 KiB"):
        strict_yaml.load(path)


def test_invalid_utf8_names_its_byte() -> None:
    with pytest.raises(DataError) as caught:
        strict_yaml.read("a: 1\né: ".encode() + b"\xe9", "f")
    assert str(caught.value).startswith("f:2:4: the byte 0xe9 is not UTF-8, ")


def test_files_that_cannot_be_read_are_data_errors(tmp_path: Path) -> None:
    for path in (tmp_path / "none.yaml", tmp_path, tmp_path / "nul\0.yaml"):
        with pytest.raises(DataError):
            strict_yaml.load(path)


def test_a_file_is_read_with_any_line_ends(tmp_path: Path) -> None:
    for ends in ("\n", "\r\n", "\r"):
        path = tmp_path / "ends.yaml"
        path.write_bytes(f"a: |{ends}  one{ends}  two{ends}b: 2{ends}".encode())
        root = strict_yaml.load(path)
        assert root.plain() == {"a": "one\ntwo\n", "b": 2}
        assert root.mapping().value("b").place.line == 4


def test_zero_keeps_its_sign() -> None:
    assert math.copysign(1.0, parse("-0.0", "f").number()) == -1.0
