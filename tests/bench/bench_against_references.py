"""Weight and springs against the references of their tests, in all settings: python tests/bench/bench_against_references.py

Each comparison is a test of the suite, which asks it of one or two settings; here it is asked of many, within the same
tolerance. Seconds are those of the processor.
"""
import sys
import time
from pathlib import Path

sys.path.insert(0, str(Path(__file__).resolve().parents[1]))

import test_against_mechanics as mechanics
import test_chain_thorough as long_chains
import test_hanging as hanging

COMPARISONS = (  # what, reference, test, settings
    ("loop: angles all round", "scipy's solve_ivp of sympy's equations", mechanics.test_the_loop_is_the_one_that_solve_ivp_runs,
     [(2, 0), (2, 1), (2, 2), (3, 3), (3, 4), (3, 5), (3, 6)]),
    ("what is left of a nudge after a loop", "the same", mechanics.test_what_is_left_of_a_nudge_is_what_solve_ivp_leaves,
     [(11,), (12,), (13,)]),
    ("loops called unstable are left", "the same", mechanics.test_a_loop_called_unstable_links_up_and_a_nudge_throws_solve_ivp_off_it,
     [(2, 17), (2, 159), (2, 277)]),
    ("on the landing: a nudge fades or throws off", "the same",
     hanging.test_a_loop_that_a_nudge_would_throw_off_is_named_and_a_nudge_does,
     [("mooring rope", 0.5, 0.2, False), ("pennant", 0.5, 0.2, False), ("mooring rope", 0.5, 1.0, True), ("pennant", 4.0, 1.0, True)]),
    ("long chains: 6, 8 and 12 parts", "time steps of order 5", long_chains.test_a_long_chain_s_loop_is_found_and_comes_back_by_time_steps,
     [(6, 59), (6, 97), (8, 6), (8, 40), (8, 49), (12, 2), (12, 33)]),
)


def main():
    print(f"{'':52}{'held against':42}{'settings':>9}{'kept':>6}{'s':>8}")
    for what, reference, compare, cases in COMPARISONS:
        began, kept = time.process_time(), 0
        for case in cases:
            try:
                compare(*case)
                kept += 1
            except AssertionError as error:
                print(f"  {case}: {str(error).splitlines()[0]}")
        print(f"{what:52}{reference:42}{len(cases):9}{kept:6}{time.process_time() - began:8.1f}")


if __name__ == "__main__":
    main()
