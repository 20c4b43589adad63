"""The command palette: whatever a key does here, and any phrase of the text interface, typed out."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial
from typing import ClassVar

from textual.app import App
from textual.binding import Binding, BindingType
from textual.command import CommandList, CommandPalette, DiscoveryHit, Hit, Hits, Provider
from textual.content import Content
from textual.screen import Screen

from scenarios.actions import Action, NotPossible
from scenarios.language import _, say
from tui.presentation.clean import clean
from tui.text.phrases import ANSWERED, PHRASES, parse


class Palette(CommandPalette):
    """The palette, which takes a page key before its list is drawn for what it is: too early."""

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("pagedown", "page(1)", "Next page", show=False),
        Binding("pageup", "page(-1)", "Previous page", show=False),
    ]

    def action_page(self, by: int) -> None:
        """Move through the list by what can be seen of it."""
        found = self.query_one(CommandList)
        if found.scrollable_content_region:
            found.action_page_down() if by > 0 else found.action_page_up()


class Everything(Provider):
    """Keys of the screen, phrases where the screen can perform them, and the program's own commands."""

    def _keys(self) -> list[tuple[str, str]]:
        from tui.app.screens.help import keys_of

        return [(description, keys) for keys, description in keys_of(self.screen)]

    def _press(self, keys: str) -> None:
        for active in self.screen.active_bindings.values():
            if active.binding.description and self.app.get_key_display(active.binding) == keys.split()[0]:
                self.app.call_later(self._run, self.app, self.screen, active.binding.action, active.node)
                return

    @staticmethod
    async def _run(app: App, screen: Screen, action: str, node: object) -> None:
        await app.run_action(action, node)  # pyright: ignore[reportArgumentType]

    async def discover(self) -> Hits:
        """All of them."""
        for description, keys in self._keys():
            yield DiscoveryHit(description, partial(self._press, keys), help=say("key {keys}", keys=keys))
        for command in self.app.get_system_commands(self.screen):
            yield DiscoveryHit(command.title, command.callback, help=command.help)

    async def search(self, query: str) -> Hits:
        """Those that match, and a phrase typed out in full first of all; or a line that says that none does."""
        found = self._found(query)
        for hit in found:
            yield hit
        if not found:  # Textual's own words would come in English; who takes this line may type again
            yield Hit(0.0, Content(_("Nothing by that name")), self.app.action_command_palette)

    def _found(self, query: str) -> list[Hit]:
        perform, matcher, found = getattr(self.screen, "perform", None), self.matcher(query), []
        if perform is not None and (action := _phrase(query)) is not None:
            does = _(PHRASES[query.split()[0]].does)
            found.append(Hit(2.0, Content(clean(query)), partial(perform, action), help=does))
        commands = [*self._keys_as_commands(), *self._things()]
        commands += [(each.title, each.callback, each.help) for each in self.app.get_system_commands(self.screen)]
        for name, command, told in commands:
            if (score := matcher.match(name)) > 0.0:
                found.append(Hit(score, matcher.highlight(name), command, help=told))
        return found

    def _keys_as_commands(self) -> list[tuple[str, Callable[[], object], str]]:
        return [(name, partial(self._press, keys), say("key {keys}", keys=keys)) for name, keys in self._keys()]

    def _things(self) -> list[tuple[str, Callable[[], object], str]]:
        """Checks and repairs by name on a job's screen; none in an exam, where the candidate must think of them."""
        perform, session = getattr(self.screen, "perform", None), getattr(self.screen, "session", None)
        if perform is None or session is None or session.mode.exam:
            return []
        catalogue, vehicle = session.catalogue, session.vehicle
        checks = [
            (
                clean(_(check.name)),
                partial(perform, Action("check", (check.id,))),
                say("check, {place}", place=_(check.place)),
            )
            for check in catalogue.checks_of(vehicle)
        ]
        repairs = [
            (clean(_(repair.name)), partial(perform, Action("repair", (repair.id,))), _("repair"))
            for repair in catalogue.repairs_of(vehicle)
        ]
        return checks + repairs


def _phrase(query: str) -> Action | None:
    if not query.strip() or query.split()[0] in ANSWERED:
        return None
    try:
        return parse(query)
    except NotPossible:
        return None
