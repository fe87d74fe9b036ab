"""How long follow-through takes: OPENBLAS_NUM_THREADS=1 python tests/bench/bench_chain.py

Times are those of the processor, so that other work on the machine counts little; each is also given
as a multiple of sorting 20,000 numbers in the same run. Random settings as in chain_settings.py.
"""
import sys
import time
from pathlib import Path

import numpy as np

sys.path.insert(0, str(Path(__file__).resolve().parents[1]))

from chain_by_sympy import ByKane, slopes
from chain_settings import setting

from anim_lessons.physics.chain import settled_loop, settled_loops
from anim_lessons.physics.pull import follow

METHODS = "RK45", "DOP853", "Radau", "BDF", "LSODA"
CLOSE = 2e-5  # radians and radians a second: closure asked of the integrators, and error allowed


def timed(work):
    """Milliseconds of the processor, and what the work gave."""
    start = time.thread_time()
    out = work()
    return 1e3 * (time.thread_time() - start), out


def row(name, ms, most="", unit=1.0):
    middle, high = np.percentile(ms, [50, 95])
    print(f"{name:58}{middle:10.2f}{high:10.2f}{most!s:>14}{middle / unit:9.1f}")


def random_loops(count, rods, seed=1, **kind):
    """Times and loops of random settings, cold."""
    rng = np.random.default_rng(seed)
    some = [setting(rng, rods, **kind) for _ in range(count)]
    return some, *zip(*(timed(lambda s=s: settled_loop(**s)) for s in some))


def moved(some, loops, times):
    """Times of warm starts, with all springs made stiffer."""
    return [timed(lambda s=s, w=w: settled_loop(**(s | {"stiffness": times * s["stiffness"]}), warm=w, within=1e-4))[0]
            for s, w in zip(some, loops) if w.found]


def integrated(s, loop, method):
    """Milliseconds in which one of scipy's integrators runs into the loop, to the same closure and error; None: never."""
    kane, period = ByKane(**s), s["period"]
    for tolerance in (1e-5, 1e-6, 1e-7, 1e-8):
        start = time.thread_time()
        angle, speed = loop.angles.mean(0), np.zeros(len(s["lengths"]))
        for _ in range(100):
            q, u = kane.run(angle, speed, np.array([0.0, period]), method=method, rtol=tolerance, atol=tolerance)
            apart = max(np.abs(q[-1] - angle).max(), np.abs(u[-1] - speed).max() * period)
            angle, speed = q[-1], u[-1]
            if apart < CLOSE:
                break
        ms = 1e3 * (time.thread_time() - start)
        if apart < CLOSE and np.abs(angle - loop.angles[0]).max() < CLOSE:
            return ms
    return None


def against_scipy(count=15):
    rng = np.random.default_rng(5)
    some = []
    while len(some) < count:
        s = setting(rng, 3, stops=False)
        loop = settled_loop(**s)
        if loop.found and loop.stable:
            some.append((s, loop))
    s, loop = some[0]
    kane, speed = ByKane(**s), next(slopes(loop.angles, s["period"]))
    right = np.median([timed(lambda: kane.accelerations(0.1, loop.angles[0], speed[0]))[0] for _ in range(200)])
    ours, times = [], {method: [] for method in METHODS}
    for s, loop in some:  # turn and turn about, so that a busy machine slows both
        mine = []
        for method in METHODS:
            mine += [timed(lambda: settled_loop(**s, within=CLOSE))[0] for _ in range(4)]
            times[method].append(integrated(s, loop, method))
        ours.append(np.median(mine))
    row("this solver, the same settings", ours)
    print(f"    (their right-hand side, by sympy: {1e3 * right:.0f} microseconds a call)")
    met = {method: np.array([np.nan if t is None else t for t in ms]) for method, ms in times.items()}
    for method, ms in met.items():
        print(f"solve_ivp {method:48}{np.nanmedian(ms):10.1f}{np.nanpercentile(ms, 95):10.1f}"
              f"{f'{np.isnan(ms).sum()} never':>14}{np.nanmedian(ms / ours):9.0f} times ours")
    best = min(met, key=lambda method: np.nanmedian(met[method]))
    print(f"fastest of scipy's: {best}, {np.nanmedian(met[best]) / np.median(ours):.0f} times the median here (asked: 100)")
    each = np.nanmin(list(met.values()), axis=0) / ours
    print(f"where each setting is given to whichever of them is fastest there: {np.median(each):.0f} times ours, from "
          f"{each.min():.0f} to {each.max():.0f}\n")


def main():
    rng = np.random.default_rng(1)
    numbers = rng.normal(size=20_000)
    unit = np.median([timed(lambda: np.sort(numbers))[0] for _ in range(60)])
    settled_loop(**setting(rng))
    print(f"{'ms':58}{'median':>10}{'p95':>10}{'asked':>14}{'x unit':>9}    (unit: {unit:.3f} ms)")

    some, ms, loops = random_loops(1000, 3)
    row("3 segments, cold, 1,000 settings", ms, "10, p95 25", unit)
    for times in (1.05, 1.2):
        row(f"3 segments, warm, springs x {times}", moved(some[:300], loops, times), "p95 2.5" if times == 1.05 else "", unit)
    none, unsteady = [not x.found for x in loops], [x.found and not x.stable for x in loops]
    print(f"    not found: {np.mean(none):.1%} (asked: 0.2 %); unstable, and said: {np.mean(unsteady):.1%}; of those "
          f"{sum(x.double is not None for x in loops)} with a two-loop; slowest {max(ms):.0f} ms (asked: 1500)")
    for rods, count in ((1, 200), (6, 100), (8, 60), (12, 40)):
        _, ms, many = random_loops(count, rods)
        row(f"{rods} segments, cold; {sum(not x.found for x in many)} of {count} not found", ms, unit=unit)
    for slowest in (0.3, 1.0):
        _, ms, many = random_loops(300, 3, slowest=slowest)
        row(f"3 segments, own swings from {slowest} a second; {sum(not x.found for x in many)} of 300 not found", ms, unit=unit)

    for rods in (2, 3):
        times = []
        for seed in range(7):
            s = setting(np.random.default_rng(seed), rods, slowest=1.0, stops=False)
            stiffer, thicker = (v.reshape(-1, 1) for v in np.meshgrid(np.geomspace(0.8, 4, 16), np.geomspace(0.8, 3, 16)))
            whole = s | {"stiffness": stiffer * s["stiffness"], "damping": thicker * s["damping"]}
            took, maps = timed(lambda whole=whole: settled_loops(**whole))
            times.append(took)
        row(f"256 settings of {rods} segments in one pass; {sum(x.found for x in maps)} found", times,
            250 if rods == 3 else "", unit)

    turn = 2 * np.pi * np.arange(24) / 24
    hand = np.column_stack([60 * np.cos(turn), 25 * np.sin(2 * turn)])
    rope = [timed(lambda: follow(hand, 20 * np.sin(turn), np.full(100, 4.0), returns=0.15))[0] for _ in range(20)]
    row("pull with a return, 100 segments", rope, 30, unit)
    print()
    against_scipy()


if __name__ == "__main__":
    main()
