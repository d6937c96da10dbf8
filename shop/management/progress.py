"""A bar that shows how far a long command has come, on a terminal and nowhere else."""

from typing import TextIO

WIDTH = 30


class Progress:
    """A progress bar on one line, drawn anew only when its percentage changes.

    Parameters
    ----------
    out
        Where to draw; nothing is drawn unless it is a terminal.
    label
        What is under way.
    """

    def __init__(self, out: TextIO, label: str) -> None:
        self._out, self._label = out, label
        self._drawn = -1
        self._shown = out.isatty()

    def show(self, share: float) -> None:
        """Draw the bar at a share of the whole, 0 to 1."""
        percent = int(min(max(share, 0), 1) * 100)
        if self._shown and percent != self._drawn:
            full = "#" * (percent * WIDTH // 100)
            self._out.write(f"\r{self._label} [{full:<{WIDTH}}] {percent:3d} %")
            self._out.flush()
            self._drawn = percent

    def clear(self) -> None:
        """Wipe the line, so that something else can stand there."""
        if self._shown and self._drawn >= 0:
            self._out.write(f"\r{' ' * (len(self._label) + WIDTH + 10)}\r")
            self._out.flush()
            self._drawn = -1
