"""A second process that prints the crew pack while this one prints the cards.

In: tasks. Out: their results. Vocabulary: the second process is *warmed* while this one still reads
content: it loads the layout library and the fonts, which take longer than the reading. Processes, never
threads: layout holds the interpreter.
"""

from __future__ import annotations

from collections.abc import Callable
from concurrent.futures import ProcessPoolExecutor
from multiprocessing import get_context
from types import TracebackType
from typing import Any, TypeVar

from packgen.errors import PackgenError

T = TypeVar("T")
U = TypeVar("U")


class Printer:
    """Prints in one process or in two."""

    def __init__(self, workers: int) -> None:
        self._pool = ProcessPoolExecutor(1, mp_context=get_context("fork")) if workers > 1 else None

    def __enter__(self) -> Printer:
        if self._pool:
            self._pool.submit(_warm)
        return self

    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None
    ) -> None:
        if self._pool:
            self._pool.shutdown(cancel_futures=True)

    def both(self, there: Callable[..., T], arguments: tuple[Any, ...], here: Callable[[], U]) -> tuple[T, U]:
        """Run `there` in the second process and `here` in this one; in turn where there is only one."""
        if self._pool is None:
            return there(*arguments), here()
        waiting = self._pool.submit(there, *arguments)
        done = here()
        return waiting.result(), done


def _warm() -> None:
    """Load what printing needs; a missing part is complained of by the task that needs it."""
    try:
        from packgen.render.pdf import warm

        warm()
    except PackgenError:
        return
