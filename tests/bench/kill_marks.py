"""A run of marking that is killed at any point goes on and ends with the same bytes: python tests/bench/kill_marks.py [KILLS]

A made-up class, marked once without a break; then in another folder again and again, killed with SIGKILL each time a little later, and at
last to its end. Whatever is there after a kill is whole, and in the end all of it is what the unbroken run wrote.
"""

import random
import subprocess
import sys
import tempfile
import time
from pathlib import Path

sys.path.insert(0, str(Path(__file__).resolve().parents[1]))
import invented_class

LOG = "judged.jsonl"


def read_all(folder):
    return {path.relative_to(folder).as_posix(): path.read_bytes() for path in folder.rglob("*") if path.is_file()}


def main(kills=20, count=240, seed=20261130):
    rng = random.Random(seed)
    with tempfile.TemporaryDirectory() as top:
        folder, roster, _ = invented_class.lay_out(top, count)
        words = [sys.executable, "-m", "anim_lessons.commands", "mark", str(folder), "--homework", "6", "--roster", str(roster), "--to"]
        begun = time.monotonic()
        subprocess.run([*words, f"{top}/whole"], stdout=subprocess.DEVNULL, check=False)
        long = time.monotonic() - begun
        whole = read_all(Path(top) / "whole")
        out, done, torn, rows = Path(top) / "out", 0, 0, []
        while done < kills:
            process = subprocess.Popen([*words, str(out)], stdout=subprocess.DEVNULL)
            try:
                process.wait(rng.uniform(0.3, 0.6 + long * (done + 1) / kills))
            except subprocess.TimeoutExpired:
                process.kill()
                process.wait()
            if process.returncode == -9:
                done += 1
            else:       # it came to its end: begin anew, but for half of the log
                log = (out / LOG).read_bytes()
                for path in sorted(out.rglob("*"), reverse=True):
                    path.unlink() if path.is_file() else path.rmdir()
                (out / LOG).write_bytes(log[:rng.randrange(len(log))])
            left = read_all(out) if out.exists() else {}
            torn += sum(data != whole.get(name) for name, data in left.items() if name != LOG and "new-" not in name)
            rows.append(left.get(LOG, b"").count(b"\n"))
        subprocess.run([*words, str(out)], stdout=subprocess.DEVNULL, check=False)
        end = read_all(out)
        same = {name: data for name, data in end.items() if name != LOG} == {name: data for name, data in whole.items() if name != LOG}
        print(f"{count} learners, {long:.1f} s unbroken; {done} kills, rows kept after each: {rows}; files that were not whole: {torn}; "
              f"the same bytes in the end: {same}")
        return 0 if same and not torn else 1


if __name__ == "__main__":
    sys.exit(main(*map(int, sys.argv[1:])))
