"""The compilation of laws: same results compiled or not, and a cache that never serves an old law."""

import inspect
import json
import os
import shutil
import subprocess
import sys
import time
from collections.abc import Callable
from pathlib import Path
from typing import Any

import numpy as np
import pytest

import sim.compile as compilation
from sim.laws import air, coolant, exchangers
from sim.observation import responses, scan_data, touch
from sim.vehicle.algebraic import DTYPE as ALGEBRAIC
from sim.vehicle.parameters import DTYPE as PARAMETERS
from sim.vehicle.states import CONTROLS, SWITCHES
from tests.sim.vehicles import driving

SIM = Path(compilation.__file__).parent
ROUNDING = 1e-13
"""Tolerance between compiled and plain law [share of the value]: exp and log may differ in their last bits."""

LAWS: list[tuple[Callable[..., Any], tuple[float, ...]]] = [
    (coolant.density, (87.3, 0.47)),
    (coolant.viscosity, (-12.5, 0.47)),
    (coolant.boiling_point, (180.0, 0.47)),
    (air.saturation_humidity_ratio, (12.0, 95.0)),
    (exchangers.outlet_conductance, (180.0, 240.0, 90.0)),
    (responses.apparent_temperature, (85.0, 0.3, 0.95, 15.0)),
    (scan_data.thermistor_temperature, (411.0,)),
    (touch.burn_threshold, (17.0, True)),
]


@pytest.mark.skipif(not compilation.compiled(), reason="the laws run as plain Python")
@pytest.mark.parametrize(("law", "arguments"), LAWS)
def test_compiled_law_equals_plain_law(law: Callable[..., Any], arguments: tuple[float, ...]) -> None:
    plain = inspect.unwrap(law)
    assert plain is not law
    assert law(*arguments) == pytest.approx(plain(*arguments), rel=ROUNDING)


MINUTES = """
import json
from tests.sim.vehicles import driving
fleet = driving(ambient=20.0, kmh=50.0, heater=1.0, blower=2.0)
fleet.advance(0.0, 120.0)
print(json.dumps([fleet.state[0].tolist(), [float(x) for x in fleet.switches[0].tolist()]]))
"""
DRIFT = 1e-6
"""How far two minutes of compiled and plain steps may lie apart [share of the value, or its unit near nothing]."""


@pytest.mark.skipif(not compilation.compiled(), reason="the laws run as plain Python")
def test_a_drive_is_the_same_without_a_compiler() -> None:
    plain = subprocess.run(
        [sys.executable, "-c", MINUTES],
        env=os.environ | {"NUMBA_DISABLE_JIT": "1"},
        cwd=Path(__file__).parents[2],
        capture_output=True,
        text=True,
        encoding="utf-8",
        check=True,
    )
    state, switches = json.loads(plain.stdout)
    fleet = driving(ambient=20.0, kmh=50.0, heater=1.0, blower=2.0)
    fleet.advance(0.0, 120.0)
    assert fleet.state[0] == pytest.approx(state, rel=DRIFT, abs=DRIFT)
    assert [float(x) for x in fleet.switches[0].tolist()] == switches


@pytest.mark.parametrize("records", [PARAMETERS, ALGEBRAIC, CONTROLS, SWITCHES])
def test_no_field_hides_behind_an_attribute_of_records(records: np.dtype[Any]) -> None:
    """Plain Python reads fields as attributes of NumPy's records, whose own attributes come first."""
    assert [name for name in records.names or () if hasattr(np.record, name)] == []


@pytest.mark.skipif(not compilation.compiled(), reason="the laws run as plain Python")
def test_a_numba_that_cannot_leave_out_counting_is_not_asked_to(monkeypatch: pytest.MonkeyPatch) -> None:
    """An option that numba does not know is refused only at the first call of a law."""
    from numba.core.options import DefaultOptions

    compiler, counting, _ = compilation._compilers.__wrapped__()
    assert compiler is not None and counting is not None
    plain = inspect.unwrap(coolant.density)
    assert compiler(plain).targetoptions["_nrt"] is False
    assert "_nrt" not in counting(plain).targetoptions
    monkeypatch.delattr(DefaultOptions, "_nrt")
    compiler, _, _ = compilation._compilers.__wrapped__()
    assert compiler is not None
    assert "_nrt" not in compiler(plain).targetoptions


def test_signature_is_kept() -> None:
    assert list(inspect.signature(coolant.density).parameters) == ["temperature", "glycol"]


def test_fingerprint_follows_every_source(tmp_path: Path) -> None:
    law = tmp_path / "law.py"
    law.write_text("x = 1\n", encoding="utf-8")
    first = compilation._fingerprint(tmp_path)
    assert compilation._fingerprint(tmp_path) == first
    law.write_text("x = 2\n", encoding="utf-8")
    second = compilation._fingerprint(tmp_path)
    (tmp_path / "other.py").write_text("", encoding="utf-8")
    assert len({first, second, compilation._fingerprint(tmp_path)}) == 3


def test_the_same_laws_installed_elsewhere_have_a_folder_of_their_own(tmp_path: Path) -> None:
    """Or the second installation would be taken for compiled, and its first start would wait for the compiler."""
    here, there = tmp_path / "here", tmp_path / "there"
    for folder in (here, there):
        folder.mkdir()
        (folder / "law.py").write_text("x = 1\n", encoding="utf-8")
        os.utime(folder / "law.py", (1.0, 1.0))
    first = compilation._fingerprint(here)
    assert compilation._fingerprint(there) != first
    os.utime(here / "law.py", (2.0, 2.0))
    assert compilation._fingerprint(here) != first


STALE = """
from sim.laws.engine_heat import metal_conductance
print(metal_conductance(40.0, 1500.0, 0.0, 1.0))
"""


def _run(code: str, folder: Path, **environment: str) -> str:
    """What a Python of its own prints, run in a folder."""
    ran = subprocess.run(
        [sys.executable, "-c", code],
        env={name: value for name, value in os.environ.items() if name != "NUMBA_CACHE_DIR"} | environment,
        cwd=folder,
        capture_output=True,
        text=True,
        encoding="utf-8",
        check=True,
    )
    return ran.stdout.strip()


@pytest.fixture
def copied(tmp_path: Path) -> Path:
    """A folder with a copy of the laws, whose sources may be changed."""
    shutil.copytree(SIM, tmp_path / "copy" / "sim", ignore=shutil.ignore_patterns("__pycache__"))
    return tmp_path / "copy"


@pytest.mark.skipif(not compilation.compiled(), reason="the laws run as plain Python")
def test_a_law_changed_in_another_file_is_compiled_anew_where_the_user_chose_the_folder(
    copied: Path, tmp_path: Path
) -> None:
    chosen = str(tmp_path / "chosen")
    assert float(_run(STALE, copied, NUMBA_CACHE_DIR=chosen)) == pytest.approx(1500.0)
    law = copied / "sim" / "laws" / "powers.py"
    law.write_text(law.read_text(encoding="utf-8").replace("math.exp(", "2.0 * math.exp("), encoding="utf-8")
    assert float(_run(STALE, copied, NUMBA_CACHE_DIR=chosen)) == pytest.approx(3000.0)
    assert len(list((tmp_path / "chosen" / compilation.PARENT).iterdir())) == 2


@pytest.mark.skipif(not compilation.compiled(), reason="the laws run as plain Python")
def test_nothing_is_kept_where_numba_looks_into_another_folder(copied: Path, tmp_path: Path) -> None:
    """It reads NUMBA_CACHE_DIR as it is imported, and would otherwise keep machine code beside the sources."""
    told = _run(
        "import numba\nimport sim.compile\n" + STALE + "print(sim.compile.cache_folder())",
        copied,
        XDG_CACHE_HOME=str(tmp_path / "cache"),
    )
    assert told.split() == ["1500.0", "None"]
    assert list(copied.rglob("*.nbi")) == []


def _ours(number: int) -> str:
    return f"compiled-{number:016x}"


def test_only_folders_of_ours_are_removed(tmp_path: Path) -> None:
    caches = tmp_path / compilation.PARENT
    old = [caches / _ours(1), caches / _ours(2), caches / "compiled-by-hand", caches / f"{_ours(3)}-kept", caches / "x"]
    outside = [tmp_path / _ours(1), tmp_path / "records"]
    young = caches / _ours(4)
    for folder in (*old, *outside, young):
        folder.mkdir(parents=True)
    long_ago = time.time() - 2.0 * compilation.UNUSED_BEFORE_REMOVAL
    for folder in (*old, *outside):
        os.utime(folder, (long_ago, long_ago))
    compilation._remove_unused(caches, old[0])
    assert not old[1].exists()
    assert all(folder.is_dir() for folder in (old[0], *old[2:], *outside, young))


@pytest.mark.parametrize("given", ["", "chosen"])
def test_the_cache_folder_bears_the_fingerprint_and_children_find_the_same(
    given: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(compilation.platformdirs, "user_cache_dir", lambda *_, **__: str(tmp_path / "lukewarm"))
    monkeypatch.setenv("NUMBA_CACHE_DIR", given and str(tmp_path / given))
    folder = compilation._prepare_cache()
    fingerprint = compilation._fingerprint(Path(compilation.__file__).parent)
    assert folder == tmp_path / (given or "lukewarm") / compilation.PARENT / f"compiled-{fingerprint}"
    assert folder is not None and folder.is_dir()
    assert os.environ["NUMBA_CACHE_DIR"] == str(folder)
    assert compilation._prepare_cache() == folder  # as a child process does
    monkeypatch.setattr(compilation, "_fingerprint", lambda _: f"{5:016x}")
    assert compilation._prepare_cache() == folder.with_name(_ours(5))  # a child whose laws have changed


def test_without_a_writable_folder_nothing_is_cached(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    (tmp_path / "file").write_text("", encoding="utf-8")
    monkeypatch.setattr(compilation.platformdirs, "user_cache_dir", lambda *_, **__: str(tmp_path / "file"))
    for given in ("", str(tmp_path / "file")):
        monkeypatch.setenv("NUMBA_CACHE_DIR", given)
        assert compilation._prepare_cache() is None
