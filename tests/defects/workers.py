"""Threads that work through a list of defects until it is empty or one of them fails."""
import sys
import threading
import time


class Workers:
    """What work is, is said by work() of a class on top; it takes from `left` while it holds `lock`."""

    def __init__(self, jobs, what):
        self.jobs, self.what = jobs, what
        self.lock, self.failure = threading.Lock(), None

    def begin(self, left):
        self.left, self.total, self.began = left, len(left), time.monotonic()

    def run(self):
        threads = [threading.Thread(target=self.guarded_work) for _ in range(min(self.jobs, self.total))]
        for thread in threads:
            thread.start()
        for thread in threads:
            thread.join()
        if self.failure:
            raise self.failure

    def guarded_work(self):
        try:
            self.work()
        except Exception as failure:  # noqa: BLE001 - whatever it is, the other workers stop too
            self.failure = failure

    def next(self):
        """Holding the lock: the next defect, or None."""
        return self.left.pop(0) if self.left and not self.failure else None

    def tell(self):
        done, passed_s = self.total - len(self.left), time.monotonic() - self.began
        if done % 20 == 0 or not self.left:
            print(f"{self.what}{done} of {self.total} defects, {passed_s:.0f} s, about "
                  f"{passed_s / max(done, 1) * len(self.left):.0f} s left", file=sys.stderr)
