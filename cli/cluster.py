"""Works through tasks on a Dask cluster that is there already; what a worker loses is judged again by another."""

import warnings
from collections.abc import Callable, Iterator, Sequence
from itertools import islice

from cli.schedule_inputs import code_digest
from cli.schedule_judge import ENDED, FAULT
from loadhistories.validation import InputError

ANSWER_WITHIN = 20
WAITING_FOR_EACH = 4


class Cluster:
    """The connection to a scheduler, with at least one worker that has this very program.

    Raises
    ------
    InputError
        No scheduler answers, it has no worker, or the workers have another program.
    """

    def __init__(self, address: str):
        try:
            from distributed import Client
        except ImportError as error:
            raise InputError("a Dask cluster needs the package distributed: install griplife[cluster]") from error
        self.address = address
        try:
            self._client = Client(address, timeout=ANSWER_WITHIN, set_as_default=False)
        except (OSError, ValueError) as error:
            raise InputError(
                f"no Dask scheduler answers at {address}: {str(error).splitlines()[0]}; give an address such as "
                "tcp://10.0.0.5:8786"
            ) from error
        try:
            self._require_workers()
        except BaseException:
            self.close()
            raise

    def worked(self, work: Callable, tasks: Sequence[Callable]) -> Iterator[tuple[int, dict]]:
        """Number and outcome of every task, in the order in which they are done.

        Parameters
        ----------
        work : callable
            A function of a module that makes a dict of plain values of one task.
        tasks : sequence of callables
            Each gives its task when it is sent.
        """
        from distributed import as_completed

        waiting, numbers, done = iter(enumerate(tasks)), {}, as_completed(loop=self._client.loop)

        def send(count: int) -> None:
            for number, task in islice(waiting, count):
                with warnings.catch_warnings():
                    # The files come along on purpose, so that a worker that is lost takes none of them with it.
                    warnings.simplefilter("ignore", UserWarning)
                    future = self._client.submit(work, task(), pure=False)
                numbers[future] = number
                done.add(future)

        send(WAITING_FOR_EACH * self._threads())
        for future in done:
            number, outcome = numbers.pop(future), self._outcome(future)
            future.release()
            send(1)
            yield number, outcome

    def close(self) -> None:
        """Let go of the cluster; it stays as it was."""
        self._client.close(timeout=ANSWER_WITHIN)

    def _threads(self) -> int:
        return max(sum(self._client.nthreads().values()), 1)

    def _require_workers(self) -> None:
        try:
            self._client.wait_for_workers(1, timeout=ANSWER_WITHIN)
        except TimeoutError as error:
            raise InputError(f"the scheduler at {self.address} has no worker") from error
        others = []
        for worker, answer in self._client.run(code_digest, on_error="return").items():
            if isinstance(answer, BaseException):
                others.append(f"{worker} does not have it ({type(answer).__name__}: {answer})")
            elif answer != code_digest():
                others.append(f"{worker} has another version")
        if others:
            raise InputError(
                f"the workers of {self.address} need the same griplife as this computer: {'; '.join(others)}"
            )

    def _outcome(self, future) -> dict:
        from distributed.scheduler import KilledWorker

        if future.status == "finished":
            return future.result()
        if future.status != "error":
            raise InputError(
                f"the scheduler at {self.address} is lost; what was judged is kept, start the schedule again"
            )
        fault = future.exception()
        if isinstance(fault, KilledWorker):
            return {ENDED: "the workers that judged it were ended, each time; was there too little memory for it?"}
        return {FAULT: f"{type(fault).__name__}: {fault}"}
