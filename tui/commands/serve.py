"""``lukewarm serve``: the terminal program in a browser of this machine, one session a tab."""

from __future__ import annotations

import argparse
import asyncio
import sys
from importlib.util import find_spec
from pathlib import Path
from typing import Any, ClassVar

from scenarios.files.data_error import DataError
from scenarios.files.own_folders import catalogue_in_use, own_folders
from scenarios.language import N_, _, chosen, say
from scenarios.wrong_use import WrongUse
from tui.presentation.process.child_process import module_command, shell_line
from tui.presentation.process.console import DONE, WRONG_USE, complain

LOOPBACK = "127.0.0.1"
"""The only address it listens at: whoever reaches it works with this user's records."""

_EXAMPLE = N_("""\
It answers this machine alone and fetches nothing from elsewhere. Ctrl+C ends it.

example:
  lukewarm serve
  lukewarm serve --port 8123
""")


def add_parser(subparsers: Any) -> None:
    """Add the subcommand."""
    parser = subparsers.add_parser(
        "serve",
        help=_("open the terminal program in a browser"),
        description=_("Open the terminal program in a browser of this machine."),
        epilog=_(_EXAMPLE),
    )
    parser.add_argument("--port", type=int, default=8000, metavar="N", help=_("1 to 65535; 8000 unless given"))
    parser.set_defaults(run=run)


def run(arguments: argparse.Namespace) -> int:
    """Serve until stopped."""
    if not 1 <= arguments.port <= 65535:
        raise WrongUse(say("there is no port {port}, expected 1 to 65535", port=arguments.port))
    if not find_spec("textual_serve"):
        raise WrongUse(_("textual-serve is not installed, expected the browser extra: install lukewarm[serve]"))
    if own_folders():
        catalogue_in_use()  # what is wrong with them is told here, not in a tab
    try:
        build_server(arguments.port).serve()
    except OSError as error:
        told = {"port": arguments.port, "reason": error.strerror}
        raise WrongUse(say("port {port} cannot be opened ({reason}), expected a free one", **told)) from error
    return DONE


def build_server(port: int) -> Any:
    """The server of a port on the loopback address, with our page and for requests of that page alone."""
    import aiohttp_jinja2
    from aiohttp import web
    from textual_serve.server import Server

    home = f"http://{LOOPBACK}:{port}"

    def refuse_strangers(request: web.Request) -> None:
        """Refuse what another site asks for: any page may send a browser to the loopback address."""
        if request.headers.get("Host") != f"{LOOPBACK}:{port}" or request.headers.get("Origin", home) != home:
            raise web.HTTPForbidden(text=say("expected a request from {home}", home=home))

    class Browser(Server):
        sessions: ClassVar[set[asyncio.Task[Any]]] = set()

        def initialize_logging(self) -> None:
            """Say nothing of every request."""

        async def on_startup(self, app: web.Application) -> None:
            """Put our words into the page, and say where to look."""
            aiohttp_jinja2.get_env(app).globals.update(
                language=chosen().replace("_", "-"),
                opening=_("starting …"),
                ended=_("The program has ended. What was begun is kept. Load the page again to go on."),
            )
            print(say("Open {home} in a browser of this machine. Ctrl+C ends it.", home=home), flush=True)

        async def handle_index(self, request: web.Request) -> Any:
            """The page."""
            refuse_strangers(request)
            return await super().handle_index(request)

        async def handle_download(self, request: web.Request) -> web.StreamResponse:
            """A file that the program gives out."""
            refuse_strangers(request)
            return await super().handle_download(request)

        async def handle_websocket(self, request: web.Request) -> web.WebSocketResponse:
            """One session, from the opening of a tab to its end."""
            refuse_strangers(request)
            session = asyncio.current_task()
            assert session is not None
            self.sessions.add(session)
            try:
                return await super().handle_websocket(request)
            finally:
                self.sessions.discard(session)

        async def on_shutdown(self, app: web.Application) -> None:
            """End every session: aiohttp alone would wait a quarter of a minute for tabs that are left open."""
            for session in self.sessions:
                session.cancel()

    command = shell_line(module_command("tui.commands.serve"))
    return Browser(command, LOOPBACK, port, "lukewarm", home, templates_path=Path(__file__).parent / "web")


if __name__ == "__main__":
    from tui.app.app import run_program

    try:
        run_program()
    except DataError as error:  # a folder that was changed meanwhile
        complain(str(error))
        sys.exit(WRONG_USE)
