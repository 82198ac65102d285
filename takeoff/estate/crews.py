"""Who takes batches off: processes of this machine, or workers of a Dask cluster. Either way a batch's rows are files,
and a batch whose worker dies is handed out again."""

from __future__ import annotations

import multiprocessing
import signal
from collections.abc import Callable
from concurrent.futures import BrokenExecutor, ProcessPoolExecutor
from typing import Any, Protocol

from takeoff.basics.errors import UsageError
from takeoff.estate.batch_rows import Batch, BatchDone, run_batch


class Pending(Protocol):
    """A batch that was handed out."""

    def result(self) -> BatchDone:
        """What became of it, or its exception."""
        ...

    def add_done_callback(self, fn: Callable[[Any], object]) -> object:
        """Call `fn` with this when it is done."""
        ...


class Crew(Protocol):
    """Workers that take batches off."""

    size: int

    def hand_out(self, batch: Batch) -> Pending:
        """Give a batch to whoever is free."""
        ...

    def mend(self, err: BaseException) -> bool:
        """Whether a batch failed because its worker died, and not by itself; the crew is whole again then."""
        ...

    def dismiss(self) -> None:
        """Wait for what is being worked on, let nothing else begin."""
        ...


class Processes:
    """Processes of this machine, started afresh, so that none inherits what another thread holds."""

    def __init__(self, workers: int) -> None:
        self.size = workers
        self._pool = self._started()

    def _started(self) -> ProcessPoolExecutor:
        return ProcessPoolExecutor(self.size, multiprocessing.get_context("spawn"), initializer=_deaf)

    def hand_out(self, batch: Batch) -> Pending:
        try:
            return self._pool.submit(run_batch, batch)
        except BrokenExecutor:
            self._renew()
            return self._pool.submit(run_batch, batch)

    def mend(self, err: BaseException) -> bool:
        return isinstance(err, BrokenExecutor)

    def _renew(self) -> None:
        self._pool.shutdown(wait=False, cancel_futures=True)
        self._pool = self._started()

    def dismiss(self) -> None:
        self._pool.shutdown(wait=True, cancel_futures=True)


def _deaf() -> None:
    """A worker leaves it to its parent to be told to stop: the keyboard's signal comes to all of them."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)


class Cluster:
    """Workers of a Dask scheduler, which see the same folder under the same name and have the same program."""

    def __init__(self, address: str) -> None:
        try:
            from distributed import Client
        except ImportError:
            raise UsageError("--cluster needs an extra: pip install 'takeoff[cluster]'") from None
        try:
            self._client = Client(address, timeout=_WAIT_S, set_as_default=False)
            self.size = max(1, sum(self._client.nthreads().values()))
        except (OSError, ValueError) as err:
            raise UsageError(f"--cluster {address}: no scheduler answers there ({err})") from None

    def hand_out(self, batch: Batch) -> Pending:
        pending: Pending = self._client.submit(run_batch, batch, pure=False, retries=0)
        return pending

    def mend(self, err: BaseException) -> bool:
        from distributed import KilledWorker

        return isinstance(err, KilledWorker)

    def dismiss(self) -> None:
        self._client.close()


_WAIT_S = 20


def crew_of(workers: int, address: str) -> Crew:
    """The crew that is asked for: a cluster where an address is given."""
    return Cluster(address) if address else Processes(workers)
