"""One case, or many in processes of their own: time and memory are measured, what hangs is killed.

Times are those of the processor, so that a busy machine makes no failures.
"""

import faulthandler
import multiprocessing
import multiprocessing.connection
import pickle
import random
import re
import resource
import shutil
import signal
import sys
import tempfile
import threading
import time
import traceback
import warnings
from contextlib import contextmanager
from dataclasses import dataclass, field
from pathlib import Path

from . import actions, folders, page

TARGETS = actions.TARGETS | folders.TARGETS | page.TARGETS
SLOW = 3.0  # seconds of the processor, beyond which a case is a failure
LARGE = 300  # MB that a case needs beyond what there was before
HANGS = 20  # seconds of the processor after which a case is stopped
STUCK = 180  # seconds by the clock after which its whole process is
MOST_MEMORY = 6_000_000_000  # bytes of a worker's address space
CHUNK = 100  # cases a process does before it ends
_VARIES = (  # what is left out of a message, so that failures of one cause stand together
    (re.compile(r"/\S+/fuzz\w+"), "FOLDER"),
    (re.compile(r"(['\"]).*?\1"), '"…"'),
    (re.compile(r"(['\"]|\[|\{).*"), "…"),
    (re.compile(r"-?\d+(\.\d+)?(e[-+]?\d+)?"), "#"),
)


@dataclass
class Case:
    """What a target is given: a source of chance of its own, an empty folder, its number."""

    rng: random.Random
    folder: Path
    number: int
    slowest: float = 0.0    # seconds of the processor, of the laps so far
    begun: float = field(default_factory=time.process_time)

    def lap(self):
        """One thing that a person waits for is done."""
        now = time.process_time()
        self.slowest, self.begun = max(self.slowest, now - self.begun), now

    @contextmanager
    def number_limits(self):
        """Whole numbers of any length may be written meanwhile; they are read under the usual limit."""
        before = sys.get_int_max_str_digits()
        sys.set_int_max_str_digits(0)
        try:
            yield
        finally:
            sys.set_int_max_str_digits(before)


@dataclass(frozen=True)
class Outcome:
    """Of one case: `kind` is refused, judged, traceback, warning, slow, large or killed.

    `last` says where and what, `full` the whole traceback.
    """

    target: str
    number: int
    kind: str
    seconds: float = 0.0
    mb: float = 0.0
    last: str = ""
    full: str = ""

    @property
    def failed(self):
        return self.kind not in (actions.REFUSED, actions.JUDGED)


class Hangs(BaseException):
    """A case that takes too long; no `except Exception` keeps it."""


def run_case(seed, target, number, keep=None):
    """Make a case from seed, target and number, and put it before its target.

    Parameters
    ----------
    seed : int
    target : str
        Of TARGETS.
    number : int
    keep : Path, optional
        A folder in which the files of a case that fails are kept.

    Returns
    -------
    Outcome
    """
    folder = Path(tempfile.mkdtemp(prefix="fuzz"))
    case = Case(random.Random(f"{seed} {target} {number}"), folder, number)
    kind = last = full = ""
    base = _memory_from_here()
    try:
        with warnings.catch_warnings(), _heard() as heard, _watched():
            warnings.simplefilter("error")
            kind = TARGETS[target](case)
        if heard:
            raise heard[0]
    except Hangs as error:
        kind, last, full = "killed", f"{_place(error)}: longer than {HANGS} s", traceback.format_exc()
    except Warning as error:
        kind, last, full = "warning", _last_line(error), traceback.format_exc()
    except Exception as error:  # noqa: BLE001 - whatever escapes is what is looked for
        kind, last, full = "traceback", _last_line(error), traceback.format_exc()
    case.lap()
    seconds, mb = case.slowest, _memory_since(base)
    if kind in (actions.REFUSED, actions.JUDGED):
        if seconds > SLOW:
            kind, last = "slow", f"{target}: {kind} after more than {SLOW:g} s"
        elif mb > LARGE:
            kind, last = "large", f"{target}: {kind} with more than {LARGE} MB"
    outcome = Outcome(target, number, kind, seconds, mb, last, full)
    if keep and outcome.failed:
        shutil.copytree(
            folder,
            Path(keep) / f"{target} {number}",
            symlinks=True,
            dirs_exist_ok=True,
            copy_function=_copied,
        )
    shutil.rmtree(folder, ignore_errors=True)
    return outcome


def _copied(source, to):
    if Path(source).is_file():  # a pipe would be waited for
        shutil.copy(source, to)


@contextmanager
def _watched():
    """The main thread is stopped after HANGS seconds; the process after STUCK, should it not listen."""
    if threading.current_thread() is not threading.main_thread():
        yield
        return

    def stop(*_):
        raise Hangs

    before = signal.signal(signal.SIGPROF, stop)
    signal.setitimer(signal.ITIMER_PROF, HANGS)
    try:
        yield
    finally:
        signal.setitimer(signal.ITIMER_PROF, 0)
        signal.signal(signal.SIGPROF, before)


@contextmanager
def _heard():
    """What goes wrong where nobody can catch it: on other threads, and while something is thrown away."""
    found, hooks = [], (threading.excepthook, sys.unraisablehook)
    threading.excepthook = sys.unraisablehook = lambda args: found.append(args.exc_value)
    try:
        yield found
    finally:
        threading.excepthook, sys.unraisablehook = hooks


def _last_line(error):
    says = f"{type(error).__name__}: {error}".split("\n")[0]
    for varies, stands_for in _VARIES:
        says = varies.sub(stands_for, says)
    return f"{_place(error)}: {says[:160]}"


def _place(error):
    """File and line of the last step within the library; of the target where it did not get there."""
    steps = [step for step in traceback.extract_tb(error.__traceback__) if step.filename != __file__]
    ours = (
        [step for step in steps if "/anim_lessons/" in step.filename]
        if not isinstance(error, actions.Wrong)
        else []
    )
    step = (ours or steps)[-1]
    return f"{'/'.join(Path(step.filename).parts[-3:])}:{step.lineno}"


def _memory_from_here():
    """MB that the process has now; the peak counts from here on. None where the system does not tell."""
    try:
        Path("/proc/self/clear_refs").write_text("5")
        return _status("VmRSS")
    except OSError:
        return None


def _memory_since(base):
    return 0.0 if base is None else max(0.0, _status("VmHWM") - base)


def _status(name):
    return int(re.search(rf"{name}:\s+(\d+)", Path("/proc/self/status").read_text())[1]) / 1e3


# ---- many ------------------------------------------------------------------------------


def run_many(seed, jobs, processes=2, keep=None):
    """Run cases in processes that end after a while; one that takes its process down is counted and left.

    Parameters
    ----------
    jobs : sequence of (str, int)
        Target and number of each case.

    Yields
    ------
    Outcome
    """
    waiting = [jobs[at : at + CHUNK] for at in range(0, len(jobs), CHUNK)]
    waiting.reverse()
    fork = multiprocessing.get_context("fork")
    with tempfile.TemporaryDirectory() as folder:
        running = {}
        try:
            while waiting or running:
                while waiting and len(running) < processes:
                    chunk = waiting.pop()
                    results = Path(folder) / f"{chunk[0][0]} {chunk[0][1]}"
                    process = fork.Process(target=_work, args=(seed, chunk, results, keep))
                    process.start()
                    running[process.sentinel] = process, chunk, results
                for sentinel in multiprocessing.connection.wait(list(running)):
                    process, chunk, results = running.pop(sentinel)
                    process.join()
                    done = list(_read(results))
                    yield from done
                    if len(done) < len(chunk):
                        target, number = chunk[len(done)]
                        last = f"{target}: its process ended ({process.exitcode})"
                        yield Outcome(target, number, "killed", STUCK, 0.0, last)
                        if chunk[len(done) + 1 :]:
                            waiting.append(chunk[len(done) + 1 :])
        finally:  # broken off
            for process, _, _ in running.values():
                process.kill()
                process.join()


def _work(seed, chunk, results, keep):
    signal.signal(signal.SIGINT, signal.SIG_IGN)  # it is for the one who waits
    resource.setrlimit(resource.RLIMIT_AS, (MOST_MEMORY, MOST_MEMORY))
    with results.open("ab") as out:
        for target, number in chunk:
            faulthandler.dump_traceback_later(STUCK, exit=True)
            pickle.dump(run_case(seed, target, number, keep), out)
            out.flush()
    faulthandler.cancel_dump_traceback_later()


def _read(results):
    if not results.exists():
        return
    with results.open("rb") as file:
        while True:
            try:
                yield pickle.load(file)
            except (EOFError, pickle.UnpicklingError):
                return
