"""The frame of BenchmarkFrame by numpy and by scipy.

Both start from what the Go side has written: the numbers of the task and the
spectrum of the chart, which is cached there too.
"""

import concurrent.futures
import os

import numpy as np
import scipy.fft

RADIAN = 180 / np.pi * 60  # minutes of arc


class Task:
    def __init__(self, folder):
        rows = [line.split() for line in open(os.path.join(folder, "task.txt"))]
        self.n = int(rows[0][0])
        self.pitch, self.radius, self.m, self.j0, self.j45 = (float(v) for v in rows[0][1:6])
        self.colours = [(float(nm), float(w), float(f), int(n)) for nm, w, f, n in rows[1:]]
        self.chart = self.spectrum(os.path.join(folder, "chart.c64"), np.complex64)
        self.tail = self.spectrum(os.path.join(folder, "tail.f32"), np.float32)

    def spectrum(self, path, kind):
        return np.fromfile(path, kind).reshape(self.n, self.n // 2 + 1)

    def powers(self, focus, more):
        """The residual as x^2, y^2 and xy terms of a wavefront in micrometres and millimetres."""
        m = self.m + more + focus
        return (m + self.j0) / 2, (m - self.j0) / 2, self.j45


def pupil_places(task, nm, n, wide):
    h = nm * 1e-6 / (n * task.pitch / RADIAN)
    x = (np.arange(wide) - (wide - 1) / 2) * h
    return h, x[np.newaxis, :], -x[:, np.newaxis]


def softened(task, h, x, y):
    return np.clip((task.radius - np.hypot(x, y)) / h + 0.5, 0, 1)


class Plain:
    """What one writes first: double precision, a pupil of n x n for each wavelength."""

    def __init__(self, task):
        self.task = task
        self.chart = task.chart.astype(np.complex128)

    def frame(self, more=0.0):
        t = self.task
        psf = np.zeros((t.n, t.n))
        for nm, weight, focus, _ in t.colours:
            h, x, y = pupil_places(t, nm, t.n, t.n)
            xx, yy, xy = t.powers(focus, more)
            wave = xx * x**2 + yy * y**2 + xy * x * y
            pupil = softened(t, h, x, y) * np.exp(2j * np.pi * wave / (nm / 1000))
            light = np.abs(np.fft.fft2(pupil)) ** 2
            psf += weight * light / light.sum()
        image = np.fft.irfft2(np.fft.rfft2(psf) * self.chart) * t.n**2
        return np.fft.fftshift(image)


class Small:
    """What both scipy versions share: single precision, the same small windows as
    the Go side, whatever does not depend on the eye worked out beforehand, and all
    processors."""

    def __init__(self, task):
        self.task, self.cores = task, os.cpu_count()
        self.most = max(n for *_, n in task.colours)
        # The spot's middle is at most/2, and the image's at its corner: both shifts
        # go into the spectrum of the chart. What the small windows lack is added to
        # the product with the chart.
        k, across = np.arange(task.n), slice(task.n // 2 + 1)
        sign = (-1.0) ** k
        ramp = sign * np.exp(2j * np.pi * k * (self.most // 2) / task.n)
        self.chart = (task.chart * np.multiply.outer(ramp, ramp[across])).astype(np.complex64)
        self.tail = (task.chart * task.tail * np.multiply.outer(sign, sign[across])).astype(np.complex64)
        self.reach = int(np.max(np.nonzero(task.tail[0])))

    def pupil(self, colour, wide):
        """Places, edge and the light that it loses, of wide x wide cells across."""
        nm, weight, _, n = colour
        h, x, y = pupil_places(self.task, nm, n, wide)
        edge = softened(self.task, h, x, y)
        # The softened edge loses a little light, which would have gone far: it is
        # spread evenly. By Parseval's theorem all sums are known beforehand.
        entering, passed = np.sum(edge), np.sum(edge**2)
        lost = np.float32(weight * (1 - passed / entering) / n**2)
        return x, y, edge * np.sqrt(weight / (n * n * entering)), 2 * np.pi / (nm / 1000), lost

    def image(self, spectrum):
        t = self.task
        spectrum *= self.chart
        across = slice(0, self.reach + 1)
        for down in (slice(0, self.reach + 1), slice(t.n - self.reach, t.n)):
            spectrum[down, across] += self.tail[down, across]
        return scipy.fft.irfft2(spectrum, s=(t.n, t.n), norm="forward", overwrite_x=True, workers=self.cores)


class Stacked(Small):
    """All pupils in one stack, and whole two-dimensional transforms."""

    def __init__(self, task):
        super().__init__(task)
        most, self.lost, stack = self.most, np.float32(0), []
        for colour in task.colours:
            x, y, edge, turn, lost = self.pupil((*colour[:3], most), most)
            stack.append((turn * (x * x + 0 * y), turn * (y * y + 0 * x), turn * x * y, edge))
            self.lost += lost
        self.xx, self.yy, self.xy, self.edge = (np.array(a, np.float32) for a in zip(*stack))
        self.pupils = np.empty(self.edge.shape, np.complex64)

    def frame(self, more=0.0):
        t, most, p = self.task, self.most, self.pupils
        xx, yy, xy = np.array([t.powers(focus, more) for _, _, focus, _ in t.colours], np.float32).T[:, :, None, None]
        phase = xx * self.xx + yy * self.yy + xy * self.xy
        np.multiply(np.cos(phase), self.edge, out=p.real)
        np.multiply(np.sin(phase), self.edge, out=p.imag)
        waves = scipy.fft.fft2(p, workers=self.cores)
        light = np.sum(waves.real**2 + waves.imag**2, axis=0)
        spot = np.zeros((t.n, t.n), np.float32)
        spot[:most, :most] = scipy.fft.fftshift(light) + self.lost
        return self.image(scipy.fft.rfft2(spot, workers=self.cores))


class Pruned(Small):
    """Only the cells within the pupil, no transforms of rows that are 0, and the
    wavelengths shared among the processors."""

    def __init__(self, task):
        super().__init__(task)
        self.pool = concurrent.futures.ThreadPoolExecutor(self.cores)
        self.colours, self.rest = [], {}
        for colour in task.colours:
            nm, _, focus, n = colour
            h, _, _ = pupil_places(task, nm, n, 0)
            wide = int(np.ceil(2 * task.radius / h))
            x, y, edge, turn, lost = self.pupil(colour, wide)
            self.rest[n] = self.rest.get(n, 0) + lost
            single = [a.astype(np.float32) for a in (x * x * turn, y * y * turn, x * turn, y, edge)]
            self.colours.append((focus, n, wide, *single))

    def light(self, colour, more):
        focus, n, wide, x2, y2, x, y, edge = colour
        xx, yy, xy = (np.float32(v) for v in self.task.powers(focus, more))
        phase = (xx * x2) + (yy * y2)
        phase += (xy * x) * y
        pupil = np.empty((wide, wide), np.complex64)
        np.multiply(np.cos(phase), edge, out=pupil.real)
        np.multiply(np.sin(phase), edge, out=pupil.imag)
        wave = scipy.fft.fft(pupil, n=n, axis=1, overwrite_x=True)
        wave = scipy.fft.fft(wave, n=n, axis=0, overwrite_x=True)
        return n, wave.real**2 + wave.imag**2

    def frame(self, more=0.0):
        t, most = self.task, self.most
        lights = {}
        for n, light in self.pool.map(lambda c: self.light(c, more), self.colours):
            lights[n] = lights[n] + light if n in lights else light
        spot = np.zeros((most, most), np.float32)
        for n, light in lights.items():
            a = (most - n) // 2
            spot[a : a + n, a : a + n] += scipy.fft.fftshift(light) + self.rest[n]
        rows = scipy.fft.rfft(spot, n=t.n, axis=1, workers=self.cores)
        return self.image(scipy.fft.fft(rows, n=t.n, axis=0, overwrite_x=True, workers=self.cores))
