"""A long row of things made in batches, in as many processes as asked for.

In: a task for one batch, the items, the number of processes. Out: what the task made of each batch, in the
order of the items. Vocabulary: a *batch* is some items that one process makes at a time. Processes, never
threads: layout holds the interpreter.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from concurrent.futures import ProcessPoolExecutor
from multiprocessing import get_context
from typing import Any, TypeVar

T = TypeVar("T")
U = TypeVar("U")
Progress = Callable[[Sequence[Any]], Iterable[Any]]


def in_batches(
    task: Callable[[Sequence[T]], U], items: Sequence[T], size: int, workers: int, progress: Progress
) -> Iterator[U]:
    """What `task` makes of each batch of `size` items; `progress` shows batches as they are done.

    A result is let go once it is handed over, so that hundreds of PDFs need never be held at once.
    """
    batches = [items[at : at + size] for at in range(0, len(items), size)]
    if workers < 2:
        for batch in progress(batches):
            yield task(batch)
        return
    with ProcessPoolExecutor(workers, mp_context=get_context("fork")) as pool:
        results = pool.map(task, batches)
        try:
            for _ in progress(batches):
                yield next(results)
        finally:  # an interruption must not wait for the batches still queued
            pool.shutdown(cancel_futures=True)
