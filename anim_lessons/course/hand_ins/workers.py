"""Who does the work of marking: this process, several on this machine, or a cluster that is there already.

All three do the same call, and give the same answers in the same order. Where a process ends in the midst of its work, what it had
in hand is done once more, one hand-in at a time, so that nothing is lost but what ends every process that touches it.
"""

import multiprocessing
import os
from collections import deque
from concurrent.futures import BrokenExecutor, CancelledError, ProcessPoolExecutor
from contextlib import contextmanager
from dataclasses import dataclass

from ...model.action import ActionError

FROM = 2_000        # learners from which on all processors are worth their start
AGAIN = 2           # times that one hand-in is tried that ended a process
PATIENCE = "10s"    # for which a scheduler is waited for


class Here:
    """The work done in this process."""

    def __init__(self, context):
        self.context = context

    def in_order(self, work, tasks):
        """`work(context, items)` of the items of each task.

        Parameters
        ----------
        work : function of a module
            Gives a list, an answer an item.
        tasks : iterable of (tag, items)
            Tags come back as they are; a task without items is not worked on.

        Yields
        ------
        (tag, answers)
            In the order of the tasks. An answer is None where each process that tried ended.
        """
        for tag, items in tasks:
            yield tag, work(self.context, items) if items else []


class Elsewhere(Here):
    """The work done by an executor as `concurrent.futures` has it.

    Parameters
    ----------
    context : object
    new : function
        Makes an executor; asked for another one where that is broken.
    most : int
        Tasks that are under way at a time, so that no more of them are held.
    """

    def __init__(self, context, new, most):
        super().__init__(context)
        self._new, self._most = new, most
        self._executor = new()

    def in_order(self, work, tasks):
        waiting = deque()
        for tag, items in tasks:
            waiting.append(_Handed(tag, items, *self._handed(work, items)))
            if len(waiting) > self._most:
                yield self._first(work, waiting)
        while waiting:
            yield self._first(work, waiting)

    def close(self):
        self._executor.shutdown(wait=True, cancel_futures=True)

    def _handed(self, work, items):
        """The future, and the executor that has it."""
        if items:
            try:
                return self._executor.submit(work, self.context, items), self._executor
            except BrokenExecutor:
                pass    # seen when its turn comes
        return None, self._executor

    def _first(self, work, waiting):
        task = waiting.popleft()
        answers, broken = self._answers(task.future, task.executor) if task.items else ([], False)
        if answers is None:
            answers = [self._carefully(work, item) for item in task.items]
        if broken:
            for other in waiting:       # what was under way when it broke is lost as well
                if other.executor is not self._executor:
                    other.future, other.executor = self._handed(work, other.items)
        return task.tag, answers

    def _answers(self, future, executor):
        """The answers, or None where the process ended; and whether the executor is another one now."""
        try:
            if future is not None:
                return future.result(), False
        except (BrokenExecutor, CancelledError):
            pass
        except Exception as error:
            if not _ended(error):
                raise
            return None, False
        if executor is self._executor:
            self._executor.shutdown(wait=False, cancel_futures=True)
            self._executor = self._new()
        return None, True

    def _carefully(self, work, item):
        for _ in range(AGAIN):
            answers, _ = self._answers(*self._handed(work, [item]))
            if answers is not None:
                return answers[0]
        return None


@dataclass
class _Handed:
    """A task that is under way."""

    tag: object
    items: list
    future: object
    executor: object


def _ended(error):
    """True where a cluster gave a task up because each worker that had it ended."""
    return type(error).__name__ == "KilledWorker"


@contextmanager
def workers(context, learners, processes=None, cluster=None):
    """What does the work, with an `in_order` as Here has it.

    Parameters
    ----------
    context : object
        First argument of each call.
    learners : int
        About how many there are.
    processes : int, optional
        One as long as there are fewer than FROM, then as many as there are processors; unless given.
    cluster : str, optional
        Address of a Dask scheduler that is running: its workers do it.

    Raises
    ------
    ActionError
        Where the cluster is asked for, and what it needs is not installed, or it does not answer.
    """
    if cluster is not None:
        with _cluster(context, cluster) as there:
            yield there
        return
    count = processes or (1 if learners < FROM else _processors())
    if count == 1:
        yield Here(context)
        return
    # Threads are running in a notebook's kernel, and a process that is copied from it could wait for ever.
    spawn = multiprocessing.get_context("spawn")
    with _one_thread_each():
        there = Elsewhere(context, lambda: ProcessPoolExecutor(count, spawn), 2 * count)
        try:
            yield there
        finally:
            there.close()


@contextmanager
def _one_thread_each():
    """Processes that are started inside have one thread for small matrices: more would only wait for each other."""
    name = "OPENBLAS_NUM_THREADS"
    before = os.environ.get(name)
    os.environ[name] = before or "1"
    try:
        yield
    finally:
        if before is None:
            del os.environ[name]


def _processors():
    return len(os.sched_getaffinity(0)) if hasattr(os, "sched_getaffinity") else os.cpu_count() or 1


@contextmanager
def _cluster(context, address):
    try:
        from distributed import Client
    except ImportError:
        raise ActionError("a cluster is not known here: the part for it is not installed",
                          "in the folder of anim-lessons run: pip install '.[cluster]'") from None
    try:
        if not address:     # else one would be started here
            raise ValueError
        client = Client(address, timeout=PATIENCE, set_as_default=False)
    except (OSError, ValueError, TypeError) as error:
        raise ActionError(f"no scheduler answers at {address} ({type(error).__name__})",
                          "look at the address that it printed, such as tcp://127.0.0.1:8786") from None
    with client:
        count = max(1, sum(client.ncores().values()))
        # Equal calls would be answered from what the cluster holds; here each is made.
        try:
            yield Elsewhere(context, lambda: client.get_executor(pure=False), 2 * count)
        except ModuleNotFoundError as error:
            if not (error.name or "").startswith("anim_lessons"):
                raise
            raise ActionError("the workers of the cluster have no anim-lessons", "install the same on all of them") from None
