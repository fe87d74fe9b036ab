"""Time that goes on by hand."""


class Hourglass:
    """A clock that stands still, and timers that ring only when it is moved on by hand."""

    def __init__(self):
        self.now, self.timers = 0.0, []

    def clock(self):
        return self.now

    def timer(self, seconds, ring):
        timer = type("Timer", (), {})()
        timer.at, timer.ring = self.now + seconds, ring
        timer.start = lambda: self.timers.append(timer)
        timer.cancel = lambda: self.timers.remove(timer) if timer in self.timers else None
        return timer

    def go_on(self, seconds):
        until = self.now + seconds
        while due := [timer for timer in list(self.timers) if timer.at <= until]:
            timer = min(due, key=lambda timer: timer.at)
            self.timers.remove(timer)
            self.now = timer.at
            timer.ring()
        self.now = until
