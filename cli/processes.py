"""Works through tasks in several processes of this computer; one that dies takes its own task with it and no other."""

import contextlib
import os
import signal
import threading
from collections.abc import Callable, Iterator, Sequence
from multiprocessing import get_context, parent_process
from multiprocessing.connection import Connection, wait

from cli.schedule_judge import ENDED, FAULT


def processors() -> int:
    """Processors that this process may use."""
    return len(os.sched_getaffinity(0)) if hasattr(os, "sched_getaffinity") else os.cpu_count() or 1


def worked_here(work: Callable, tasks: Sequence, *, processes: int) -> Iterator[tuple[int, dict]]:
    """Number and outcome of every task, in the order in which they are done.

    Parameters
    ----------
    work : callable
        A function of a module that makes a dict of plain values of one task.
    processes : int
        How many work at a time.

    Returns
    -------
    iterator of (int, dict)
        The outcome is {"fault": …} where the work failed, {"ended": …} where its process died. Once the iterator is
        closed no process is left.
    """
    waiting = list(range(len(tasks)))[::-1]
    workers = [_Worker(work) for _ in range(min(processes, len(tasks)))]
    try:
        for worker in workers:
            worker.give(waiting.pop(), tasks)
        while busy := {worker.pipe: worker for worker in workers if worker.number is not None}:
            for pipe in wait(list(busy)):
                worker = busy[pipe]
                number, outcome = worker.number, worker.outcome()
                if ENDED in outcome and not worker.alive:
                    workers[workers.index(worker)] = worker = _Worker(work)
                if waiting:
                    worker.give(waiting.pop(), tasks)
                yield number, outcome
    finally:
        for worker in workers:
            worker.end()


class _Worker:
    """One process and the task that it is at; `number` is None where it waits for one."""

    def __init__(self, work: Callable):
        context = get_context("spawn")
        self.pipe, other = context.Pipe()
        self.number: int | None = None
        self._process = context.Process(target=_serve, args=(other, work), daemon=True)
        self._process.start()
        other.close()

    @property
    def alive(self) -> bool:
        """Whether it has not ended."""
        return self._process.is_alive()

    def give(self, number: int, tasks: Sequence) -> None:
        """Give it a task."""
        self.number = number
        # Where the process died before it began, `outcome` finds that out.
        with contextlib.suppress(BrokenPipeError):
            self.pipe.send(tasks[number])

    def outcome(self) -> dict:
        """What its task has come to, or how the process ended."""
        self.number = None
        try:
            return self.pipe.recv()
        except (EOFError, ConnectionResetError):
            self._process.join()
            code = self._process.exitcode
            how = f"by signal {-code}" if code is not None and code < 0 else f"with exit code {code}"
            return {ENDED: f"the process that judged it was ended {how}; was there too little memory for it?"}

    def end(self) -> None:
        """End it, whatever it is at."""
        self._process.kill()
        self._process.join()
        self.pipe.close()


def _serve(pipe: Connection, work: Callable) -> None:
    """What a process does: take a task, give its outcome, until nobody asks for more."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    threading.Thread(target=_end_with_parent, daemon=True).start()
    while True:
        try:
            task = pipe.recv()
        except EOFError:
            return
        pipe.send(_outcome(work, task))


def _outcome(work: Callable, task) -> dict:
    from cli.main import fault_text

    try:
        return work(task)
    except Exception as fault:
        return {FAULT: fault_text(fault)}


def _end_with_parent() -> None:
    """End this process as soon as the one that started it is gone, however that went."""
    wait([parent_process().sentinel])
    os._exit(1)
