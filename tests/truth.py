"""The trial of the rules on right movements of every kind, and on faults of the size that an eye sees, as tables.

    python -m tests.truth --right 30 --faults 60 --seed 20261201 [--only WORD] [--pictures FOLDER]

prints them in Markdown. Movements and faults are those of tests/right_loops.py and tests/seen_faults.py, which share no code
with the rules, never ask them and are not tuned to them. WORD keeps the kinds whose name has it.
"""

import argparse
import sys
from collections import Counter
from dataclasses import dataclass, field
from pathlib import Path

import numpy as np

sys.path.insert(0, str(Path(__file__).parent))

import right_loops
import seen_faults

from anim_lessons import check

JITTER = 0.3    # mm, one standard deviation of each coordinate


def seeded(seed, name, *more):
    """A generator for a kind, the same whichever kinds are asked for."""
    return np.random.default_rng([seed, *name.encode(), *more])


@dataclass
class Blamed:
    """What the rules say of right movements of one kind."""

    kind: str
    loops: int = 0
    wrong: int = 0
    rules: Counter = field(default_factory=Counter)
    advised: int = 0
    limbs: Counter = field(default_factory=Counter)         # loops by make of limb
    wrong_limbs: Counter = field(default_factory=Counter)
    limb_rules: Counter = field(default_factory=Counter)

    def count(self, action):
        verdict = check(action)
        self.advised += bool(verdict.advice)
        rules = {finding.rule for finding in verdict.findings} - right_loops.UNCOUNTED.get(self.kind, set())
        self.loops += 1
        self.limbs[action.title] += 1
        if rules:
            self.wrong += 1
            self.wrong_limbs[action.title] += 1
            self.rules.update(rules)
            self.limb_rules.update((action.title, rule) for rule in rules)

    @property
    def share(self):
        return self.wrong / self.loops


def right(kind, number, seed):
    """What is said of that many right movements of a kind, clean and drawn with jitter: two Blamed."""
    rng, clean, drawn = seeded(seed, kind), Blamed(kind), Blamed(kind)
    for _ in range(number):
        action = right_loops.KINDS[kind](rng)
        clean.count(action)
        drawn.count(right_loops.jittered(action, rng, JITTER))
    return clean, drawn


def total(rows, name="all"):
    all_of = Blamed(name)
    for row in rows:
        all_of.loops += row.loops
        all_of.wrong += row.wrong
        all_of.advised += row.advised
        for one in ("rules", "limbs", "wrong_limbs", "limb_rules"):
            getattr(all_of, one).update(getattr(row, one))
    return all_of


def right_tables(kinds, number, seed):
    """The lines of the tables of right movements, by kind and by limb."""
    if not kinds:
        return []
    rows = [right(kind, number, seed) for kind in kinds]
    rows.append(tuple(total(column) for column in zip(*rows)))
    lines = ["| right movement | loops | with any finding | rules | with jitter | rules |", "|---|---|---|---|---|---|"]
    for clean, drawn in rows:
        cells = (f"{one.share:.1%} | {_rules(one.rules)}" for one in (clean, drawn))
        lines.append(f"| {clean.kind} | {clean.loops} | {' | '.join(cells)} |")
    clean, drawn = rows[-1]
    lines += ["", "| limb | loops | with any finding | rules | with jitter |", "|---|---|---|---|---|"]
    for limb, loops in clean.limbs.most_common():
        rules = _rules(Counter({rule: n for (of, rule), n in clean.limb_rules.items() if of == limb}))
        shares = [f"{one.wrong_limbs[limb] / loops:.1%}" for one in (clean, drawn)]
        lines.append(f"| {limb} | {loops} | {shares[0]} | {rules} | {shares[1]} |")
    return [*lines, "", "Of mechanics, overlap is not counted: bodies do not keep it."]


def _rules(rules):
    return ", ".join(f"{rule} {count}" for rule, count in rules.most_common())


@dataclass
class Found:
    """What became of faults of single drawings, of one kind."""

    kind: str
    loops: int = 0
    found: int = 0      # the causes name every drawing at fault
    exact: int = 0      # and no other
    sound: int = 0      # a sound drawing is named
    link_up: int = 0    # told as a fault of the seam
    corrected: int = 0  # the correction of the first cause is known
    passes: int = 0     # every rule is kept with it
    new: int = 0        # it brings a finding that was not there
    left: list = field(default_factory=list)    # between it and the sound drawings, a share of the fault

    def count(self, loop, z, faulty, correct=True):
        action = loop.action(z)
        verdict = check(action)
        named = {number for cause in verdict.causes for number in cause.drawings}
        self.loops += 1
        self.found += faulty <= named
        self.exact += faulty == named
        self.sound += bool(named - faulty)
        self.link_up += any(cause.rule == "link-up" for cause in verdict.causes)
        correction = verdict.causes[0].correction if correct and verdict.causes else None
        if correction is not None:
            self.correct(loop, action, verdict, correction)

    def correct(self, loop, action, verdict, correction):
        corrected = correction.laid_in(action)
        after = check(corrected)
        self.corrected += 1
        self.passes += after.passed
        self.new += bool({finding.named for finding in after.findings} - {finding.named for finding in verdict.findings})
        clean = loop.action(loop.z()).limbs[0].drawings
        apart = [np.linalg.norm(one.limbs[0].drawings - clean, axis=-1).sum() for one in (corrected, action)]
        self.left.append(apart[0] / apart[1])

    def share(self, name):
        return getattr(self, name) / self.loops


def one_fault(kind, number, seed, seam=False):
    rng, row = seeded(seed, kind, int(seam)), Found(kind)
    for _ in range(number):
        row.count(*seen_faults.one_drawing(kind, rng, seam), correct=not seam)
    return row


SEVERAL = {**{f"two, {apart} apart": (2, apart) for apart in (1, 2, 3, 4, 6)}, "three, 2 apart": (3, 2)}


def several_faults(kind, number, seed):
    rng, row = seeded(seed, kind), Found(kind)
    for _ in range(number):
        row.count(*seen_faults.several(rng, *SEVERAL[kind]), correct=False)
    return row


def sound_arms(number, seed):
    """How many of the sound loops that faults are put in have any finding."""
    rng, row = seeded(seed, "sound"), Blamed("sound")
    for _ in range(number):
        loop = seen_faults.sound_loop(rng)
        row.count(loop.action(loop.z()))
    return row


def whole_fault(kind, number, seed):
    """Of that many actions with a fault of the whole: how many have any finding, any advice, and causes under which rules."""
    rng, findings, advice, rules = seeded(seed, kind), 0, 0, Counter()
    for _ in range(number):
        verdict = check(seen_faults.WHOLE[kind](rng))
        findings += bool(verdict.findings)
        advice += bool(verdict.advice)
        rules.update({cause.rule for cause in verdict.causes})
    return findings, advice, rules


def fault_tables(only, number, seed):
    """The lines of the tables of faults."""
    lines, of_kind = [], lambda kinds: [kind for kind in kinds if only in kind]
    if kinds := of_kind(seen_faults.ONE):
        sound = sound_arms(number, seed)
        lines += [f"Of {number} sound loops such as these faults are put in, {sound.wrong} have a finding"
                  f"{f' ({_rules(sound.rules)})' if sound.wrong else ''}, and {sound.advised} have advice.", "",
                  "| fault of one drawing | loops | found | no other named | correction known | passes with it | new finding "
                  "| left, median |", "|---|---|---|---|---|---|---|---|"]
        for row in (one_fault(kind, number, seed) for kind in kinds):
            shares = " | ".join(f"{row.share(name):.1%}" for name in ("found", "exact", "corrected", "passes", "new"))
            lines.append(f"| {row.kind} | {row.loops} | {shares} | {f'{np.median(row.left):.2f}' if row.left else ''} |")
        lines += ["", "| the same in the last or the first drawing | loops | found | no other named | told as link-up |",
                  "|---|---|---|---|---|"]
        for row in (one_fault(kind, number, seed, seam=True) for kind in kinds):
            shares = " | ".join(f"{row.share(name):.1%}" for name in ("found", "exact", "link_up"))
            lines.append(f"| {row.kind} | {row.loops} | {shares} |")
    if kinds := of_kind(SEVERAL):
        lines += ["", "| several faults | loops | named exactly | all named | a sound drawing named |",
                  "|---|---|---|---|---|"]
        for row in (several_faults(kind, number, seed) for kind in kinds):
            shares = " | ".join(f"{row.share(name):.1%}" for name in ("exact", "found", "sound"))
            lines.append(f"| {row.kind} | {row.loops} | {shares} |")
    if kinds := of_kind(seen_faults.WHOLE):
        lines += ["", "| what no single drawing shows | actions | any finding | any advice | rules of the causes |",
                  "|---|---|---|---|---|"]
        for kind in kinds:
            findings, advice, rules = whole_fault(kind, number, seed)
            lines.append(f"| {kind} | {number} | {findings / number:.1%} | {advice / number:.1%} | {_rules(rules)} |")
    return lines


def shown(kind, rng):
    """An Action of a kind of movement or fault, and the numbers of the drawings at fault, from 1."""
    if kind in seen_faults.ONE or kind in SEVERAL:
        loop, z, faulty = seen_faults.one_drawing(kind, rng) if kind in seen_faults.ONE else seen_faults.several(rng, *SEVERAL[kind])
        return loop.action(z), faulty
    return (right_loops.KINDS.get(kind) or seen_faults.WHOLE[kind])(rng), set()


def pictured(kind, folder, seed):
    """A sheet of thirty movements of a kind: each drawing a thin line, one at fault a thick one, the tip's places as dots as
    large as they are long exposed; below, mm that the tip goes in a frame. Returns its path."""
    import matplotlib
    matplotlib.use("Agg")
    import matplotlib.pyplot as plt
    rng = seeded(seed, kind)
    figure, axes = plt.subplots(10, 6, figsize=(20, 17), height_ratios=5 * (6, 1))
    figure.subplots_adjust(0.01, 0.01, 0.99, 0.96, 0.08, 0.22)
    figure.suptitle(kind)
    for sheet, frames in zip(axes[::2].flat, axes[1::2].flat):
        action, faulty = shown(kind, rng)
        shade = plt.cm.viridis(np.linspace(0, 1, action.count))
        for limb in action.limbs:
            for d, points in enumerate(limb.drawings):
                at_fault = d + 1 in faulty
                sheet.plot(*points.T, lw=2.0 if at_fault else 0.6, color="crimson" if at_fault else shade[d])
            tip = limb.drawings[:, -1]
            sheet.plot(*tip.T, lw=0.3, color="grey")
            sheet.scatter(*tip.T, s=5 * action.exposures, c=shade)
            gaps = np.linalg.norm(np.diff(tip, axis=0, append=tip[:1] if action.loop else tip[-1:]), axis=-1)
            pace = gaps / action.exposures
            frames.step(np.append(0, np.cumsum(action.exposures)), np.append(pace, pace[-1]), where="post", lw=0.8)
        every = np.concatenate([limb.drawings.reshape(-1, 2) for limb in action.limbs])
        for way, edge in enumerate((sheet.axvline, sheet.axhline)):     # of the paper, where something is beyond it
            for at in (0.0, action.paper[way]):
                if every[:, way].min() < at < every[:, way].max():
                    edge(at, lw=0.8, ls="--", color="black")
        if not action.loop:
            sheet.scatter(*action.limbs[0].drawings[0, -1], marker="x", s=40, color="black")    # where it begins
        sheet.set_title(f"{action.title}, {action.count} drawings, {action.frames} frames", fontsize=9, pad=2)
        sheet.set_aspect("equal", adjustable="datalim")
        frames.set_ylim(0)
        for ax in (sheet, frames):
            ax.tick_params(labelsize=6, direction="in", pad=-12)
    path = Path(folder) / f"{''.join(c if c.isalnum() else '_' for c in kind)}.png"
    figure.savefig(path, dpi=70)
    plt.close(figure)
    return path


if __name__ == "__main__":
    asked = argparse.ArgumentParser(description="The trial of the rules on right movements and seen faults, in Markdown.")
    asked.add_argument("--right", type=int, default=30, help="right movements of each kind, and as many with jitter")
    asked.add_argument("--faults", type=int, default=60, help="loops of each kind of fault")
    asked.add_argument("--seed", type=int, default=20261201)
    asked.add_argument("--only", default="", help="a word of the kinds that are asked for")
    asked.add_argument("--pictures", help="a folder: write a sheet of 30 of each kind of movement and of fault, and no table")
    given = asked.parse_args()
    kinds = [kind for kind in right_loops.KINDS if given.only in kind]
    if given.pictures:
        Path(given.pictures).mkdir(parents=True, exist_ok=True)
        for kind in [*kinds, *(kind for kind in (*seen_faults.ONE, *SEVERAL, *seen_faults.WHOLE) if given.only in kind)]:
            print(pictured(kind, given.pictures, given.seed))
        sys.exit()
    if given.right:
        print("\n".join(right_tables(kinds, given.right, given.seed)), "\n")
    if given.faults:
        print("\n".join(fault_tables(given.only, given.faults, given.seed)))
