"""python -m tests.bench.fuzz --cases 100000 --seed 20261130: a table in Markdown, and what failed."""

import argparse
import os
import sys
import time
from contextlib import suppress
from pathlib import Path

os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")  # before numpy is loaded

from .run import CHUNK, TARGETS, run_case, run_many

KINDS = ("refused", "judged", "traceback", "warning", "slow", "large", "killed")
MOST_TOLD = 40  # different failures
EXAMPLES = 5  # of each


HEADS = ("target", "cases", *KINDS, "slowest, s of the processor", "most memory, MB")


def table(outcomes):
    """Lines of a table in Markdown, a target a row."""
    yield f"| {' | '.join(HEADS)} |"
    yield "|---" * len(HEADS) + "|"
    rows = {target: [one for one in outcomes if one.target == target] for target in TARGETS}
    for target, of_it in [*rows.items(), ("all", outcomes)]:
        if of_it:
            counts = [sum(one.kind == kind for one in of_it) for kind in KINDS]
            seconds, mb = max(one.seconds for one in of_it), max(one.mb for one in of_it)
            yield f"| {target} | {len(of_it)} | {' | '.join(map(str, counts))} | {seconds:.2f} | {mb:.0f} |"


def failures(outcomes, seed):
    """Lines on what failed, the most frequent first, with the cases by which it can be made again."""
    groups = {}
    for one in outcomes:
        if one.failed:
            groups.setdefault((one.kind, one.last), []).append(one)
    for (kind, last), of_it in sorted(groups.items(), key=lambda group: -len(group[1]))[:MOST_TOLD]:
        yield f"{len(of_it)} x {kind}: {last}"
        for target in dict.fromkeys(one.target for one in of_it):
            numbers = sorted(one.number for one in of_it if one.target == target)[:EXAMPLES]
            others = f"    (cases {', '.join(map(str, numbers))})" if numbers[1:] else ""
            yield f'    --seed {seed} --only "{target}" --case {numbers[0]}{others}'


def main():
    asks = argparse.ArgumentParser(prog="python -m tests.bench.fuzz", description=__doc__)
    asks.add_argument("--cases", type=int, default=10_000, help="in all, shared out among the targets")
    asks.add_argument("--seed", type=int, default=20261130)
    asks.add_argument("--only", choices=TARGETS, help="one target")
    asks.add_argument(
        "--case", type=int, help="make this one case again, here, with its traceback; needs --only"
    )
    asks.add_argument("--processes", type=int, default=2)
    asks.add_argument("--keep", type=Path, help="a folder for the files of cases that fail")
    given = asks.parse_args()
    if given.case is not None:
        if given.only is None:
            asks.error("--case needs --only")
        one = run_case(given.seed, given.only, given.case, given.keep)
        print(one.full or one.last or one.kind)
        print(f"{one.kind}, {one.seconds:.2f} s, {one.mb:.0f} MB")
        return int(one.failed)
    targets = [given.only] if given.only else [*TARGETS]
    each = given.cases // len(targets)
    # By turns, so that a run that is stopped has looked at every target.
    jobs = [(target, number) for first in range(0, each, CHUNK) for target in targets
            for number in range(first, min(first + CHUNK, each))]
    start = time.monotonic()
    outcomes = []
    with suppress(KeyboardInterrupt):  # the table of what is done until then
        outcomes.extend(run_many(given.seed, jobs, given.processes, given.keep))
    print("\n".join(table(outcomes)))
    print(f"\nSeed {given.seed}, {time.monotonic() - start:.0f} s in {given.processes} processes.")
    told = "\n".join(failures(outcomes, given.seed))
    if told:
        print(f"\n{told}")
    return int(bool(told))


if __name__ == "__main__":
    sys.exit(main())
