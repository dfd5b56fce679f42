"""Long work beside the screen: how far it is, and a button that stops it."""

from __future__ import annotations

import asyncio
from collections.abc import Awaitable, Callable
from typing import TypeVar

from field_app.core.course import Stopped, heard

__all__ = ["Course", "away"]

T = TypeVar("T")
#: So often the screen looks how far the work is [s].
_LOOK = 0.25


async def away(work: Callable[[], T]) -> T:
    """Do it beside the screen; where there is only one thread, as in a browser, do it here after a drawing."""
    await asyncio.sleep(0)
    try:
        return await asyncio.to_thread(work)
    except RuntimeError as error:
        if "thread" not in str(error):
            raise
        return work()


class Course:
    """One long work: how much of it is done [1], and whether it is to stop."""

    def __init__(self) -> None:
        self.share = 0.0
        self.stopping = False

    def stop(self) -> None:
        """End the work at the next place where that does no harm."""
        self.stopping = True

    def hear(self, share: float) -> None:
        """So much is done [1]. Raises Stopped if the person wants no more of it."""
        self.share = share
        if self.stopping:
            raise Stopped

    async def away(self, work: Callable[[], T], show: Callable[[float], object]) -> T:
        """Do the work beside the screen; *show* is called with how far it is, again and again [1].

        Raises Stopped if it was stopped, and whatever the work raises.
        """
        return await self._shown(lambda: away(work), show)

    async def here(self, work: Callable[[], Awaitable[T]], show: Callable[[float], object]) -> T:
        """The same for work that lets the screen have its turn between its pieces."""
        return await self._shown(work, show)

    async def _shown(self, work: Callable[[], Awaitable[T]], show: Callable[[float], object]) -> T:
        with heard(self.hear):
            task = asyncio.ensure_future(work())
        told = self.share
        while not task.done():
            await asyncio.wait({task}, timeout=_LOOK)
            if self.share != told and not task.done():
                told = self.share
                show(told)
        return await task
