"""The process beside the window that plays by itself (desk.playwork): started when it is first asked, ended with the
window. Asks and answers are messages; nothing here waits.
"""

from __future__ import annotations

import os
import sys
from pathlib import Path

import msgspec
from PySide6.QtCore import QObject, QProcess, QProcessEnvironment, Signal

import desk
from desk.playwork import Answer, Ask, Frames, framed

MODULE = "desk.playwork"
PATIENCE = 2000
"""Milliseconds the process is given to end by itself."""


class PlayWorker(QObject):
    """Sends asks and emits answers."""

    answered = Signal(object)
    """An answer of desk.playwork."""
    failed = Signal(str)
    """The process could not be started, or has ended though it was not asked to."""

    def __init__(self) -> None:
        super().__init__()
        self._process: QProcess | None = None
        self._frames = Frames()

    def ask(self, message: Ask) -> None:
        """Send a message; the first starts the process."""
        process = self._process or self._start()
        process.write(framed(message))

    def stop(self) -> None:
        """End the process."""
        process, self._process = self._process, None
        self._frames = Frames()
        if process is not None:
            process.finished.disconnect()
            process.errorOccurred.disconnect()
            process.closeWriteChannel()
            process.kill()
            process.waitForFinished(PATIENCE)
            process.deleteLater()

    def _start(self) -> QProcess:
        process = QProcess(self)
        environment = QProcessEnvironment.systemEnvironment()
        home = str(Path(desk.__file__).resolve().parent.parent)
        paths = [home, *filter(None, [environment.value("PYTHONPATH")])]
        environment.insert("PYTHONPATH", os.pathsep.join(paths))
        process.setProcessEnvironment(environment)
        process.setProcessChannelMode(QProcess.ProcessChannelMode.ForwardedErrorChannel)
        process.readyReadStandardOutput.connect(self._read)
        process.finished.connect(self._ended)
        process.errorOccurred.connect(self._went_wrong)
        process.start(sys.executable, ["-P", "-m", MODULE])
        self._process = process
        return process

    def _read(self) -> None:
        if self._process is None:
            return
        data = bytes(self._process.readAllStandardOutput().data())
        for body in self._frames.feed(data):
            self.answered.emit(msgspec.msgpack.decode(body, type=Answer))

    def _went_wrong(self, error: QProcess.ProcessError) -> None:
        if error == QProcess.ProcessError.FailedToStart:
            self._give_up("it could not be started")

    def _ended(self, code: int, _status: QProcess.ExitStatus) -> None:
        self._give_up(f"it ended with code {code}")

    def _give_up(self, why: str) -> None:
        process, self._process = self._process, None
        self._frames = Frames()
        if process is not None:
            process.deleteLater()
            self.failed.emit(why)
