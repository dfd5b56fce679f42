"""Drives the screens in this process: the real session and components, a fake client, no browser.

The fake client packs every message exactly as a real transport does (packing is what records the snapshots
that the next difference is taken against), answers calls to the device from ``replies``, and turns
``push_route`` into a change of route.

It uses four names of flet 1.0.5 that are not public (``_context_page``, ``_i``, ``Session``, ``Connection``),
so it is pinned to that version and lives in this one file.
"""

from __future__ import annotations

import asyncio
import dataclasses
from collections.abc import Awaitable, Callable, Iterator, Mapping
from typing import Any

import flet as ft
import msgpack
from flet.controls.context import _context_page
from flet.messaging.connection import Connection
from flet.messaging.protocol import MessageAction, configure_encode_object_for_msgpack
from flet.messaging.session import Session
from flet.pubsub.pubsub_hub import PubSubHub

from field_app.ui.parts.unbroken import apart

__all__ = ["Driver", "Silent", "walk"]

_pack = configure_encode_object_for_msgpack(ft.BaseControl)


class Silent:
    """A reply that never comes, as from a device that takes too long."""


class _FakeClient(Connection):
    def __init__(self, replies: Mapping[str, Any]) -> None:
        super().__init__()
        self.pubsubhub, self.loop = PubSubHub(), asyncio.get_running_loop()
        self.page_url = "http://test"
        self.replies = dict(replies)
        self.sent: list[Any] = []
        self.session: Session | None = None

    def send_message(self, message: Any) -> None:
        msgpack.packb([message.action, message.body], default=_pack)
        self.sent.append(message)
        if message.action is MessageAction.INVOKE_METHOD:
            self.loop.create_task(self._answer(message.body))

    async def _answer(self, call: Any) -> None:
        reply = self.replies.get(call.name)
        if isinstance(reply, Silent):
            return
        result, error = None, None
        try:
            result = reply(call.args) if callable(reply) else reply
        except Exception as fault:  # a reply may raise, as a device may refuse
            error = str(fault)
        self.session.handle_invoke_method_results(call.control_id, call.call_id, result, error)
        if call.name == "push_route":
            page = self.session.page
            self.session.apply_page_patch({"route": call.args["route"]})  # as a real client does before it tells
            await self.session.dispatch_event(page._i, "route_change", {"route": call.args["route"]})


class Driver:
    """A running app that a test can look at and touch."""

    @classmethod
    async def open(cls, start: Callable[[ft.Page], Any], *, route: str = "/", platform: str = "android",
                   web: bool = False, replies: Mapping[str, Any] | None = None) -> Driver:
        """Open a page on what the toolkit would call for it."""
        self = cls()
        self.client = _FakeClient(replies or {})
        self.session = self.client.session = Session(self.client)
        self.page = self.session.page
        self.session.apply_page_patch({"route": route, "platform": platform, "web": web})
        _context_page.set(self.page)
        msgpack.packb(self.session.get_page_patch(), default=_pack)
        started = start(self.page)
        if isinstance(started, Awaitable):
            await started
        await self.settle()
        return self

    @classmethod
    async def show(cls, component: Callable[[], Any], **how: Any) -> Driver:
        """Open a page on one component that gives a view."""
        return await cls.open(lambda page: page.render_views(component), **how)

    async def settle(self, turns: int = 40) -> None:
        """Let everything that is ready run."""
        for _ in range(turns):
            await asyncio.sleep(0)

    def controls(self) -> Iterator[ft.BaseControl]:
        """Every control that the client would show, depth first."""
        return walk(self.page)

    def top(self) -> ft.View:
        """The view that a person sees: the last one of the stack."""
        return [control for control in self.controls() if isinstance(control, ft.View)][-1]

    def find(self, key: str) -> list[ft.BaseControl]:
        """The controls of the top view with this key."""
        return [control for control in walk(self.top()) if control.key == key]

    def one(self, key: str) -> Any:
        """The only control of the top view with this key."""
        found = self.find(key)
        assert len(found) == 1, f"{len(found)} controls have the key {key!r}; there are {self.keys()}"
        return found[0]

    def keys(self) -> list[str]:
        """The keys on the top view, in their order."""
        return [control.key for control in walk(self.top()) if isinstance(control.key, str)]

    def texts(self) -> list[str]:
        """The words on the top view, in their order, without what keeps a line from ending within them."""
        return [apart(control.value) for control in walk(self.top()) if isinstance(control, ft.Text)]

    def said(self, key: str) -> str:
        """The words of the only text with this key."""
        return apart(self.one(key).value)

    def text(self) -> str:
        """The words on the top view, as one text."""
        return "\n".join(self.texts())

    def title(self) -> str:
        """The title of the top view."""
        heads = [c for c in walk(self.top()) if isinstance(c, ft.Semantics) and c.heading_level == 1]
        return apart(heads[0].content.value)

    def routes(self) -> list[str]:
        """The routes of the stack of views."""
        return [control.route for control in self.controls() if isinstance(control, ft.View)]

    def snack(self) -> str:
        """The last short message at the foot of the screen, or empty."""
        found = [control for control in self.controls() if isinstance(control, ft.SnackBar)]
        return found[-1].content.value if found else ""

    async def tap(self, key: str) -> None:
        """Tap what has this key."""
        control = self.one(key)
        assert not getattr(control, "disabled", False), f"{key} can't be tapped"
        await self.fire(control, "click")

    async def type(self, key: str, text: str) -> None:
        """Type a text into a field, in place of what it holds."""
        field = self.one(key)
        self.session.apply_patch(field._i, {"value": text})
        await self.fire(field, "change", text)

    async def go(self, route: str) -> None:
        """Open an address."""
        self.page.navigate(route)
        await self.settle()

    async def back(self) -> None:
        """The back button or gesture of the device."""
        await self.fire(self.page, "view_pop", {"route": self.routes()[-1]})

    async def fire(self, control: ft.BaseControl, event: str, data: Any = None) -> None:
        """Send an event of a control, as the client would."""
        await self.session.dispatch_event(control._i, event, data)
        await self.settle()

    def calls(self, name: str) -> list[Any]:
        """The arguments of each call of this method of the device."""
        return [message.body.args for message in self.client.sent
                if message.action is MessageAction.INVOKE_METHOD and message.body.name == name]

    def check_alive(self) -> None:
        """Fail if a handler crashed the session or a drawing ended the update loop."""
        crashes = [message.body.message for message in self.client.sent
                   if message.action is MessageAction.SESSION_CRASHED]
        assert not crashes, crashes[0]
        task = self.session._Session__updates_task
        assert not task.done(), task.exception()


def walk(root: Any) -> Iterator[ft.BaseControl]:
    """A control and every control in it, depth first."""
    seen, stack = set(), [root]
    while stack:
        node = stack.pop()
        if id(node) in seen:
            continue
        seen.add(id(node))
        if isinstance(node, ft.BaseControl):
            yield node
        if dataclasses.is_dataclass(node):
            stack += [getattr(node, field.name, None) for field in reversed(dataclasses.fields(node))
                      if not field.metadata.get("skip") and field.name != "_parent"]
        elif isinstance(node, dict):
            stack += reversed(node.values())
        elif isinstance(node, (list, tuple)):
            stack += reversed(node)
