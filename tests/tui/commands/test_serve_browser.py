"""The program in a real browser: a click, keys, one session a tab, and not one request to anywhere else."""

from __future__ import annotations

import json
import shutil
import time
from collections.abc import Callable, Iterator
from importlib.util import find_spec
from pathlib import Path
from typing import Any
from urllib.parse import urlsplit

import pytest

from tests.tui.served import served
from tui.commands.serve import LOOPBACK

PATIENCE = 180.0
"""How long [s] anything may take: on a machine that has never compiled the laws the workshop waits for that."""

BROWSER = next(filter(None, map(shutil.which, ("chromium", "chromium-browser", "google-chrome", "chrome"))), None)
DRIVER = shutil.which("chromedriver")
FLAGS = (
    *("headless", "no-sandbox", "disable-gpu", "disable-quic", "no-first-run"),
    *("disable-background-networking", "disable-component-update", "disable-sync", "window-size=1280,800"),
)

LINES = """
if (!window.drawn) return [];
const {buffer: {active}, rows} = window.drawn;
return Array.from({length: rows}, (_, y) => active.getLine(active.baseY + y).translateToString(true));
"""
PLACE = """
const box = document.querySelector(".xterm-screen").getBoundingClientRect();
return [box.left, box.top, box.width / window.drawn.cols, box.height / window.drawn.rows];
"""

BUTTON = """
const box = document.querySelector(`.keys [data-key="${arguments[0]}"]`).getBoundingClientRect();
return [box.left + box.width / 2, box.top + box.height / 2];
"""
FITS = """
const drawn = document.querySelector(".xterm-screen").getBoundingClientRect();
const keys = document.querySelector(".keys").getBoundingClientRect();
const {cols, rows} = window.drawn;
return [cols, rows, drawn.right / innerWidth, keys.bottom / innerHeight, drawn.bottom / keys.top];
"""
"""Cells of the terminal; where it and the keys below it end, as shares of the window, and the one of the other."""
PORTRAIT, LANDSCAPE = (390, 844), (844, 390)

pytestmark = [
    pytest.mark.skipif(not (BROWSER and DRIVER), reason="no Chromium or Chrome with its chromedriver on the PATH"),
    pytest.mark.skipif(not find_spec("textual_serve"), reason="the extra 'serve' is not installed"),
]


class Tab:
    """One tab of the browser, brought to the front for whatever is asked of it."""

    def __init__(self, driver: Any, address: str, phone: tuple[int, int] | None = None) -> None:
        """phone: width and height of its screen, None for a desktop."""
        driver.switch_to.new_window("tab")
        self.driver, self.handle = driver, driver.current_window_handle
        if phone is not None:
            self.hold(*phone)
        driver.execute_cdp_cmd("Emulation.setFocusEmulationEnabled", {"enabled": True})  # no headless window has it
        driver.get(address)

    def hold(self, width: int, height: int) -> None:
        """Be a phone with a screen of this size, held this way."""
        screen = {"screenWidth": width, "screenHeight": height, "deviceScaleFactor": 0, "mobile": True}
        self.front().execute_cdp_cmd("Emulation.setDeviceMetricsOverride", {"width": width, "height": height, **screen})
        self.driver.execute_cdp_cmd("Emulation.setTouchEmulationEnabled", {"enabled": True, "maxTouchPoints": 5})

    def front(self) -> Any:
        """The driver, at this tab."""
        self.driver.switch_to.window(self.handle)
        return self.driver

    def lines(self) -> list[str]:
        """What the terminal shows."""
        return self.front().execute_script(LINES)

    def rests(self) -> bool:
        """Whether nothing is drawn for a second."""
        before = self.lines()
        time.sleep(1.0)
        return self.lines() == before

    def until(self, *texts: str) -> None:
        """Wait until the terminal shows these."""
        from selenium.common.exceptions import TimeoutException

        try:
            wait(self.driver, lambda: all(text in "\n".join(self.lines()) for text in texts))
        except TimeoutException:
            raise AssertionError("\n".join([f"expected {texts}, shown:", *self.lines()])) from None

    def press(self, keys: str) -> None:
        """Press keys, wherever the page has its focus."""
        from selenium.webdriver import ActionChains

        ActionChains(self.front()).send_keys(keys).perform()

    def click(self, text: str) -> None:
        """Click the first cell of a text."""
        from selenium.webdriver.common.actions.action_builder import ActionBuilder

        row, line = next((row, line) for row, line in enumerate(self.lines()) if text in line)
        left, top, width, height = self.front().execute_script(PLACE)
        x, y = left + (line.index(text) + 0.5) * width, top + (row + 0.5) * height
        click = ActionBuilder(self.driver)
        click.pointer_action.move_to_location(int(x), int(y)).click()
        click.perform()

    def tap(self, text: str) -> None:
        """Touch the first cell of a text."""
        row, line = next((row, line) for row, line in enumerate(self.lines()) if text in line)
        left, top, width, height = self.front().execute_script(PLACE)
        self.touch(left + (line.index(text) + 0.5) * width, top + (row + 0.5) * height)

    def touch(self, x: float, y: float) -> None:
        """Touch a point of the page."""
        points = [{"x": x, "y": y}]
        self.driver.execute_cdp_cmd("Input.dispatchTouchEvent", {"type": "touchStart", "touchPoints": points})
        self.driver.execute_cdp_cmd("Input.dispatchTouchEvent", {"type": "touchEnd", "touchPoints": []})

    def touch_key(self, name: str) -> None:
        """Touch a key below the terminal."""
        box = self.front().execute_script(BUTTON, name)
        self.touch(*box)


def wait(driver: Any, happened: Callable[[], bool]) -> None:
    """Wait until something has happened."""
    from selenium.webdriver.support.ui import WebDriverWait

    WebDriverWait(driver, PATIENCE, 0.1).until(lambda _: happened())


@pytest.fixture
def driver(tmp_path: Path) -> Iterator[Any]:
    """A browser that has never been used."""
    from selenium import webdriver

    options = webdriver.ChromeOptions()
    options.binary_location = str(BROWSER)
    for flag in (*FLAGS, f"user-data-dir={tmp_path / 'browser'}"):
        options.add_argument(f"--{flag}")
    options.set_capability("goog:loggingPrefs", {"performance": "ALL"})
    driver = webdriver.Chrome(options=options, service=webdriver.ChromeService(executable_path=DRIVER))
    try:
        yield driver
    finally:
        driver.quit()


def sessions(server: int) -> set[int]:
    """Processes of the program that a server has started."""
    import psutil

    found = set()
    for process in psutil.Process(server).children(recursive=True):
        try:
            if "tui.commands.serve" in process.cmdline():
                found.add(process.pid)
        except psutil.Error:  # it has just ended
            continue
    return found


def requests(driver: Any) -> list[str]:
    """Addresses that the pages have asked for since the last call; those inside the browser itself are left out."""
    asked = []
    for entry in driver.get_log("performance"):
        event = json.loads(entry["message"])["message"]
        if event["method"] == "Network.requestWillBeSent":
            asked.append(event["params"]["request"]["url"])
        elif event["method"] == "Network.webSocketCreated":
            asked.append(event["params"]["url"])
    return [url for url in asked if urlsplit(url).scheme not in ("chrome", "chrome-untrusted", "data", "about")]


def test_a_click_and_keys_reach_the_session_of_their_tab_alone(driver: Any, tmp_path: Path) -> None:
    with served(tmp_path) as (server, address):
        one, other = Tab(driver, address), Tab(driver, address)
        for tab in (one, other):
            tab.until("▸○ Next: First frost", "Take the key")
        wait(driver, lambda: len(sessions(server.pid)) == 2)

        other.press("\ue015")  # down
        other.until("▸○ Vehicle of the day")
        one.click("Quiet dash")
        one.until("▸○ Quiet dash")
        one.press("\ue007")  # Enter
        one.until("driver's seat", "engine bay")
        assert "▸○ Vehicle of the day" in "\n".join(other.lines())
        other.press("?")
        other.until("Choose a vehicle and take its key")
        assert "Choose a vehicle" not in "\n".join(one.lines())

        before = sessions(server.pid)
        one.front().refresh()
        one.until("◐ Quiet dash")
        wait(driver, lambda: len(sessions(server.pid)) == 2)
        assert len(sessions(server.pid) - before) == 1

        other.front().close()
        wait(driver, lambda: len(sessions(server.pid)) == 1)
        one.press("q")
        wait(driver, lambda: one.front().find_element("class name", "over").is_displayed())
        assert "Load the page again" in driver.find_element("class name", "over").text
        wait(driver, lambda: not sessions(server.pid))

        asked = requests(driver)
        assert sum(url.startswith("ws:") for url in asked) == 3
        assert {urlsplit(url).hostname for url in asked} == {LOOPBACK}
        assert any(url.endswith(".ttf") for url in asked)


def _fits(seen: tuple[float, ...], held: tuple[int, int]) -> bool:
    """Whether 80 x 24 cells and the keys have room on a screen held so, and the terminal has turned with it."""
    columns, rows, right, bottom, above = seen
    return (
        columns >= 80
        and rows >= 24
        and (columns > 2 * rows) == (held == LANDSCAPE)
        and max(right, bottom, above) < 1.01
    )


def test_a_phone_shows_the_whole_screen_however_it_is_held(driver: Any, tmp_path: Path) -> None:
    with served(tmp_path) as (_server, address):
        tab = Tab(driver, address, PORTRAIT)
        tab.until("▸○ Next: First frost", "Take the key")
        for held in (PORTRAIT, LANDSCAPE, PORTRAIT):
            tab.hold(*held)
            wait(driver, lambda held=held: _fits(tab.front().execute_script(FITS), held))
            tab.until("Next: First frost", "Take the key")
        wait(driver, tab.rests)
        tab.tap("Quiet dash")
        tab.until("▸○ Quiet dash")
        tab.touch_key("ArrowUp")
        wait(driver, lambda: "▸○ Quiet dash" not in "\n".join(tab.lines()))
        tab.touch_key("ArrowDown")
        tab.until("▸○ Quiet dash")
        tab.touch_key("Enter")
        tab.until("driver's seat", "engine bay")
        tab.touch_key("?")
        tab.until("The line of places")
        time.sleep(0.5)  # keys typed ahead of a screen are not meant for it
        tab.touch_key("Escape")
        wait(driver, lambda: "The line of places" not in "\n".join(tab.lines()))
