#!/usr/bin/env python3
"""Times a frame, that of a fogged eye with 1.5 D of astigmatism, beside the same frame by other libraries.

All take turns in one run, a few frames each, so that whatever else the machine
does meets all of them. First every image must be the same within 1e-3 of white.
It needs Go; numpy and scipy, and a C compiler with FFTW (single precision), as
far as they are installed. From the top of the project:

    python3 sim/retina/bench/compare.py [rounds]
"""

import os
import shutil
import statistics
import subprocess
import sys
import tempfile
import time

sys.dont_write_bytecode = True
HERE = os.path.dirname(os.path.abspath(__file__))
SAME = 1e-3
EACH = 20  # frames in a row; of the slowest, one


class Server:
    """Another program that answers a line with the times of frames, in nanoseconds."""

    def __init__(self, command, **env):
        self.p = subprocess.Popen(
            command, stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True, env=dict(os.environ, **env)
        )
        if self.p.stdout.readline() != "ready\n":
            sys.exit(f"{command[0]} does not start")

    def times(self, count):
        self.p.stdin.write(f"{count}\n")
        self.p.stdin.flush()
        return [float(v) / 1e6 for v in self.p.stdout.readline().split()]

    def close(self):
        self.p.stdin.close()
        self.p.wait()


def python_times(peer, count):
    out = []
    for i in range(count):
        start = time.perf_counter()
        peer.frame(i % 8 / 100)
        out.append((time.perf_counter() - start) * 1e3)
    return out


def build_fftw(folder):
    if not shutil.which("cc"):
        return None, "FFTW skipped: there is no C compiler"
    out = os.path.join(folder, "fftw")
    command = ["cc", "-O3", "-o", out, os.path.join(HERE, "fftw.c"), "-lfftw3f", "-lm"]
    got = subprocess.run(command, capture_output=True, text=True)
    if got.returncode != 0:
        return None, "FFTW skipped: it is not installed (Debian: libfftw3-dev)"
    return [out, folder], None


def check(name, image, ours):
    """Stops everything when an image is not the same."""
    worst = float(abs(image - ours).max())
    print(f"  {name:44} differs by {worst:.1e}")
    if not worst < SAME:
        sys.exit(f"{name} shows another image: the times mean nothing")


def compare(folder, rounds):
    program = os.path.join(folder, "frames")
    subprocess.run(["go", "test", "-c", "-o", program, "."], cwd=os.path.dirname(HERE), check=True)
    cores = os.cpu_count()
    all_cores = Server([program], CONOID_PEERS=folder, GOMAXPROCS=str(cores))
    one_core = Server([program], CONOID_PEERS=folder, GOMAXPROCS="1")
    servers, ratios = [all_cores, one_core], []
    runs = {f"Conoid, {cores} cores": lambda: all_cores.times(EACH), "Conoid, 1 core": lambda: one_core.times(EACH)}
    try:
        import numpy as np
        import peers
    except ImportError:
        print("numpy and scipy skipped: not installed (Debian: python3-numpy python3-scipy)")
        return
    print("The images, in parts of white:")
    image = np.fromfile(os.path.join(folder, "image.f32"), np.float32).reshape(512, 512)
    task = peers.Task(folder)
    for name, kind, count in (
        ("scipy, stacked", peers.Stacked, EACH),
        ("scipy, pruned and threaded", peers.Pruned, EACH),
        ("numpy, plain", peers.Plain, 1),
    ):
        peer = kind(task)
        check(name, peer.frame(), image)
        runs[name] = lambda peer=peer, count=count: python_times(peer, count)
        ratios.append((name, f"Conoid, {cores} cores"))
    command, why = build_fftw(folder)
    if command:
        server = Server(command)
        servers.append(server)
        name = "FFTW, transforms alone, 1 thread"
        check(name, np.fromfile(os.path.join(folder, "fftw.f32"), np.float32).reshape(512, 512), image)
        runs[name] = lambda: server.times(EACH)
        ratios.append((name, "Conoid, 1 core"))
    else:
        print(why)
    times = {name: [] for name in runs}
    for _ in range(rounds):
        for name, run in runs.items():
            times[name] += run()
    for server in servers:
        server.close()
    report(times, ratios)


def report(times, ratios):
    median = {name: statistics.median(t) for name, t in times.items()}
    print(f"\n  {'milliseconds a frame':44} {'median':>8} {'best':>8} {'p99':>8}")
    for name, t in times.items():
        print(f"  {name:44} {median[name]:8.2f} {min(t):8.2f} {sorted(t)[len(t) * 99 // 100]:8.2f}")
    print(f"\n  {'ratio of the medians':64}")
    for peer, ours in ratios:
        print(f"  {peer + ' / ' + ours:64} {median[peer] / median[ours]:8.2f}")


if __name__ == "__main__":
    sys.path.insert(0, HERE)
    with tempfile.TemporaryDirectory() as folder:
        compare(folder, int(sys.argv[1]) if len(sys.argv) > 1 else 40)
