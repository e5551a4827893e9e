"""A line on the terminal that shows how far long work is."""

import time
from typing import TextIO

WIDTH = 30
PATIENCE_SECONDS = 1.0


class ProgressBar:
    """Shows itself after a second, and only where somebody watches."""

    def __init__(self, stream: TextIO) -> None:
        self.stream = stream
        self.started = time.monotonic()
        self.is_shown = False

    def show(self, done: int, total: int, what: str) -> None:
        waited = time.monotonic() - self.started
        if not self.stream.isatty() or waited < PATIENCE_SECONDS:
            return
        self.is_shown = True
        share = min(1.0, done / total) if total else 0.0
        bar = ("#" * round(share * WIDTH)).ljust(WIDTH, ".")
        self.stream.write(f"\r[{bar}] {done:,} of {total:,}  {what:<24}")
        self.stream.flush()

    def clear(self) -> None:
        if self.is_shown:
            self.stream.write("\r\033[K")
            self.stream.flush()
