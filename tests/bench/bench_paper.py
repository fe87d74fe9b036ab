"""Sheets photographed harshly and scanned, by the hundred: numbered, registered, dots found; time and memory.

    OPENBLAS_NUM_THREADS=1 python tests/bench/bench_paper.py --pages 200 --seed 20261201

Every page is synthetic (`tests/paper_pages.py`): nothing here was printed or photographed. What is put on paper is
known, and nothing of the library draws the pencil. `--stack 200` tells what a long pile costs.
"""

import argparse
import subprocess
import sys
import tempfile
import time
from pathlib import Path

import numpy as np

sys.path[:0] = [str(Path(__file__).parents[1]), str(Path(__file__).parents[2])]

import paper_pages as pages

from anim_lessons.ferry.actions import wave
from anim_lessons.model.action_file import dumps
from anim_lessons.paper.layout import layout_for
from anim_lessons.paper.printing import print_sheets
from anim_lessons.paper.scanning import scan_into, undrawn

KINDS = {  # name: page, drawings a page, how it comes back
    "photo of 12 MP, harsh, A4": ("a4", 1, "harsh"),
    "the same, A3": ("a3", 1, "harsh"),
    "the same, letter": ("letter", 1, "harsh"),
    "the same, A4, four a page": ("a4", 4, "harsh"),
    "photo of 5 MP, harsh, A4": ("a4", 1, "small"),
    "scan at 150 dots an inch, A4": ("a4", 1, 150),
    "scan at 300 dots an inch, A4": ("a4", 1, 300),
    "photo of 12 MP, half as harsh again, A4": ("a4", 1, "worse"),
    "photo of 5 MP, twice as harsh, A4": ("a4", 1, "worst"),
}
SHARES = (0.5, 0.08, 0.08, 0.08, 0.1, 0.08, 0.08, 0.1, 0.1)
CAMERAS = {
    "harsh": ((4000, 3000), 1.0),
    "small": ((2592, 1944), 1.0),
    "worse": ((4000, 3000), 1.5),
    "worst": ((2592, 1944), 2.0),
}


def came_back(page, how, rng):
    if how in CAMERAS:
        shot = pages.harsh(rng, *CAMERAS[how])
        return pages.jpeg(pages.photographed(page, shot, rng), shot.quality)
    return pages.jpeg(pages.scanned(page, rng, how), 90, dpi=(how, how))


def run(kind, count, rng, folder):
    """Rows of one kind: pages, numbered right, misnumbered, dots asked, found, false, errors in mm, said unsure,
    seconds.
    """
    size, each, how = KINDS[kind]
    action = wave(drawings=12)
    layout = layout_for(action, size, each)
    print_sheets(action, folder / "sheets.pdf", page=size, each=each)
    blank = list(pages.rendered(folder / "sheets.pdf"))[1:]
    fields = layout.fields(action.paper)
    asked = found = false = right = wrong = unsure = 0
    errors, seconds, lost = [], [], []
    for i in range(count):
        n = int(rng.integers(len(blank)))
        page, numbers = blank[n].copy(), list(range(n * each + 1, n * each + each + 1))
        true = {}
        for number, field in zip(numbers, fields):
            pose = action.limbs[0].drawings[number - 1]
            page = pages.drawn_on(page, field.to_page(pose), rng, red=bool(rng.random() < 0.2))
            true[number] = pose
        (folder / "photo.jpg").write_bytes(came_back(page, how, rng))
        file = folder / f"{i}.json"
        file.write_bytes(dumps(undrawn(action)))
        begun = time.process_time()
        done, _ = scan_into([folder / "photo.jpg"], file)
        seconds.append(time.process_time() - begun)
        right += set(done.read) == set(numbers)
        wrong += bool(set(done.read) - set(numbers))
        if set(done.read) != set(numbers):
            lost.append((i, sorted(done.read), done.wrong[:1]))
        for number, drawn in done.read.items():
            unsure += bool(drawn.remark)
            dots, pose = np.array(drawn.dots).reshape(-1, 2), true.get(number)
            if pose is None:
                continue
            far = (
                np.hypot(*np.moveaxis(dots[:, None] - pose[None], -1, 0)) * drawn.scale
                if len(dots)
                else np.full((1, 4), 99.0)
            )
            best = far.min(axis=0)
            asked += len(pose)
            found += int((best < 2.5).sum())
            false += int((far.min(axis=1) > 2.5).sum()) if len(dots) else 0
            errors += best[best < 2.5].tolist()
        for old in (*(folder / f"{i}_paper").glob("*"), file):
            old.unlink()
    p50, p95, most = np.percentile(errors or [np.nan], (50, 95, 100))
    print(
        f"| {kind} | {count} | {right} | {wrong} | {100 * found / max(1, asked):.1f} % | {100 * found / max(1, found + false):.1f} % | "
        f"{p50:.2f} / {p95:.2f} / {most:.2f} | {unsure} | {np.median(seconds):.2f} / {np.percentile(seconds, 95):.2f} |",
        flush=True,
    )
    for what in lost:
        print("  lost:", what, flush=True)


def stack(count, rng, folder):
    """What a long pile costs: memory once a tenth of it is read, and at its end."""
    action = wave(drawings=12)
    print_sheets(action, folder / "sheets.pdf")
    field = layout_for(action).fields(action.paper)[0]
    for n, page in enumerate(list(pages.rendered(folder / "sheets.pdf"))[1:]):
        page = pages.drawn_on(page, field.to_page(action.limbs[0].drawings[n]), rng)
        (folder / f"{n}.jpg").write_bytes(came_back(page, "harsh", rng))
    file = folder / "stack.json"
    file.write_bytes(dumps(undrawn(action)))
    code = """if True:
        import sys, time
        from pathlib import Path
        from anim_lessons.model.action_file import read
        from anim_lessons.paper.scanning import scan
        folder, count, seen, begun = sys.argv[1], int(sys.argv[2]), [], time.process_time()
        def most():    # Linux; of this process alone
            return int(Path("/proc/self/status").read_text().split("VmHWM:")[1].split()[0]) / 1000
        scan([f"{folder}/{n % 12}.jpg" for n in range(count)], read(f"{folder}/stack.json"), f"{folder}/stack.json",
        lambda page: seen.append(most())) print(f"a stack of {count}: at most {seen[count // 10]:.0f} MB after a tenth
        of it, {seen[-1]:.0f} MB at its end, "
              f"{(time.process_time() - begun) / count:.2f} s of the processor a page")
    """
    subprocess.run([sys.executable, "-c", code, str(folder), str(count)], check=True)


def main():
    parse = argparse.ArgumentParser()
    parse.add_argument("--stack", type=int, help="Only this: how much memory so many pages take.")
    parse.add_argument("--only", type=int, help="Only the kind of this number, from 1.")
    parse.add_argument("--pages", type=int, default=200)
    parse.add_argument("--seed", type=int, default=20261201)
    asked = parse.parse_args()
    if asked.stack:
        with tempfile.TemporaryDirectory() as folder:
            return stack(asked.stack, np.random.default_rng(asked.seed), Path(folder))
    print(
        "| pages | of them | numbered and registered | misnumbered | joints found | dots that are joints | off by, mm, p50 / p95 / most | said unsure | "
        "s of the processor, p50 / p95 |\n|---|---|---|---|---|---|---|---|---|"
    )
    with tempfile.TemporaryDirectory() as folder:
        for k, (kind, share) in enumerate(zip(KINDS, SHARES)):
            if asked.only in (None, k + 1):
                run(kind, max(1, round(share * asked.pages)), np.random.default_rng([asked.seed, k]), Path(folder))


if __name__ == "__main__":
    main()
