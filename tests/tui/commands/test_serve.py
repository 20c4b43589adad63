"""The browser's side: the page needs nothing from outside, other sites are refused, a key reaches the program."""

from __future__ import annotations

import asyncio
import re
from collections.abc import Awaitable, Callable
from importlib.util import find_spec
from pathlib import Path
from typing import Any

import pytest

import tui.commands.serve
from tests.tui.foreign import FOUND, foreign_folder
from tests.tui.served import served

Run = Callable[..., tuple[int, str, str]]
needs_serve = pytest.mark.skipif(not find_spec("textual_serve"), reason="the extra 'serve' is not installed")


def test_without_its_extra_it_says_what_to_install(lukewarm: Run, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(tui.commands.serve, "find_spec", lambda name: None)
    status, output, errors = lukewarm("serve")
    assert (status, output) == (2, "")
    assert "lukewarm[serve]" in errors


@pytest.mark.parametrize("port", ["0", "65536", "many"])
def test_a_port_that_cannot_be_is_refused(lukewarm: Run, port: str) -> None:
    status, _, errors = lukewarm("serve", "--port", port)
    assert status == 2
    assert "expected" in errors


def serving(part: Callable[[Any, str], Awaitable[None]], home: Path, folder: Path | None = None) -> None:
    """Serve on a free port, as a person does, and play a part with a client and the address; folder: started in."""
    from aiohttp import ClientSession

    with served(home, folder) as (_, address):

        async def run() -> None:
            async with ClientSession() as client:
                await part(client, address)

        asyncio.run(asyncio.wait_for(run(), 60.0))


@needs_serve
def test_the_page_needs_nothing_from_outside(tmp_path: Path) -> None:
    async def part(client: Any, home: str) -> None:
        async with client.get(f"{home}/") as answer:
            page = await answer.text()
        wanted = re.findall(r'(?:href|src)="([^"]+)"', page)
        wanted += re.findall(r'url\("([^"]+)"\)', page)
        assert len(wanted) == 5
        for address in wanted:
            assert address.startswith((f"{home}/", "data:"))
            if address.startswith(home):
                async with client.get(address) as answer:
                    assert answer.status == 200
                    assert not re.search(rb"@import|url\(\W*https?:", await answer.read())

    serving(part, tmp_path)


@needs_serve
@pytest.mark.parametrize("headers", [{"Origin": "http://elsewhere.example"}, {"Host": "elsewhere.example"}])
def test_other_sites_are_refused(headers: dict[str, str], tmp_path: Path) -> None:
    async def part(client: Any, home: str) -> None:
        for path in ("/", "/ws"):
            async with client.get(f"{home}{path}", headers=headers) as answer:
                assert answer.status == 403

    serving(part, tmp_path)


@needs_serve
@pytest.mark.parametrize(
    ("language", "board", "helped"),
    [("en", "Take the key", "Choose a vehicle and take its key"), ("de", "Übernehmen", "Wähle ein Fahrzeug")],
)
def test_a_key_reaches_the_program(
    language: str, board: str, helped: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("LUKEWARM_LANGUAGE", language)

    async def part(client: Any, home: str) -> None:
        async with client.ws_connect(f"{home}/ws?width=100&height=30", headers={"Origin": home}) as session:

            async def until(text: bytes) -> None:
                seen = b""
                while text not in seen:
                    message = await session.receive()
                    assert isinstance(message.data, bytes | str), message
                    seen += message.data if isinstance(message.data, bytes) else b""

            await until(board.encode())
            await session.send_json(["stdin", "?"])
            await until(helped.encode())
            await session.send_json(["stdin", "\x11"])
            async for _ in session:  # until the program has ended
                pass

    serving(part, tmp_path)


@needs_serve
def test_a_tab_runs_our_program_whatever_lies_in_the_current_folder(tmp_path: Path) -> None:
    folder = foreign_folder(tmp_path)

    async def part(client: Any, home: str) -> None:
        async with client.ws_connect(f"{home}/ws?width=100&height=30", headers={"Origin": home}) as session:
            seen = b""
            while b"Take the key" not in seen:
                message = await session.receive()
                assert isinstance(message.data, bytes | str), message
                seen += message.data if isinstance(message.data, bytes) else b""
            await session.send_json(["stdin", "\x11"])
            async for _ in session:  # until the program has ended
                pass

    serving(part, tmp_path, folder)
    assert not (folder / FOUND).exists()
