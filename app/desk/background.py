"""Slow work, off the window's own thread: one job at a time, with progress and a way to stop it."""

from collections.abc import Callable
from concurrent.futures import Future, ThreadPoolExecutor
from threading import Event
from typing import Any

from PySide6.QtCore import QObject, Signal


class Background(QObject):
    """Runs jobs in order on one thread. `then` and `failed` run on the window's thread."""

    progress = Signal(int, int)
    _finished = Signal(object)

    def __init__(self, parent: QObject) -> None:
        super().__init__(parent)
        self._pool = ThreadPoolExecutor(max_workers=1, thread_name_prefix="background")
        self._stop = Event()
        self.running = 0
        self._closed = False
        self._finished.connect(self._deliver)

    def run(
        self,
        job: Callable[[Callable[[int, int], None], Callable[[], bool]], Any],
        then: Callable[[Any], None],
        failed: Callable[[BaseException], None],
    ) -> None:
        """Run `job(progress, cancelled)`; it touches no widget. Once closed nothing is run: nobody waits for it."""
        if self._closed:
            return
        self._stop.clear()
        self.running += 1
        future = self._pool.submit(job, self.progress.emit, self._stop.is_set)

        def done(finished: Future[Any]) -> None:
            self._finished.emit((finished, then, failed))

        future.add_done_callback(done)

    def _deliver(self, parcel: tuple[Future[Any], Callable[[Any], None], Callable[[BaseException], None]]) -> None:
        future, then, failed = parcel
        self.running -= 1
        if future.cancelled():  # closed before its turn came: nobody waits for it any more
            return
        error = future.exception()
        if error is not None:
            failed(error)
        else:
            then(future.result())

    def cancel(self) -> None:
        """Ask the job that runs to stop."""
        self._stop.set()

    def close(self) -> None:
        """Stop and wait: a file half written is worse than a moment's wait."""
        self._closed = True
        self.cancel()
        self._pool.shutdown(wait=True, cancel_futures=True)
