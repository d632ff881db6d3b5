/* The transforms of one frame by FFTW: single precision, planned, one thread.
 *
 * fftw FOLDER reads task.txt, chart.c64 and tail.f32, writes fftw.f32, and then answers each
 * line "count" of its input with the nanoseconds that the transforms of so many
 * frames took. What is not a transform (the pupil, its intensity, the product
 * with the chart) is done as well but not counted. */
#include <complex.h>
#include <fftw3.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>

enum { MOST = 16 };

struct colour {
	double nm, weight, focus;
	int n;
	double entering, lost; /* light that enters the pupil; what its softened edge loses of it */
	fftwf_complex *pupil;
	fftwf_plan plan;
};

static int n, colours;
static double pitch, radius, mean, straight, oblique;
static struct colour colour[MOST];
static fftwf_complex *chart, *spectrum;
static float *tail, *spot, *image;
static fftwf_plan forward, back;

static void fail(const char *what) {
	fprintf(stderr, "fftw: %s\n", what);
	exit(1);
}

static FILE *in(const char *folder, const char *name, const char *mode) {
	char path[4096];
	snprintf(path, sizeof path, "%s/%s", folder, name);
	FILE *f = fopen(path, mode);
	if (!f) fail(path);
	return f;
}

static void load(const char *folder, const char *name, void *to, size_t size, size_t count) {
	FILE *f = in(folder, name, "rb");
	if (fread(to, size, count, f) != count) fail(name);
	fclose(f);
}

static double now(void) {
	struct timespec t;
	clock_gettime(CLOCK_MONOTONIC, &t);
	return t.tv_sec * 1e9 + t.tv_nsec;
}

static void prepare(const char *folder) {
	FILE *f = in(folder, "task.txt", "r");
	if (fscanf(f, "%d %lf %lf %lf %lf %lf %d", &n, &pitch, &radius, &mean, &straight, &oblique, &colours) != 7 || colours > MOST)
		fail("task.txt");
	for (struct colour *c = colour; c < colour + colours; c++) {
		if (fscanf(f, "%lf %lf %lf %d", &c->nm, &c->weight, &c->focus, &c->n) != 4) fail("task.txt");
		c->pupil = fftwf_alloc_complex((size_t)c->n * c->n);
		c->plan = fftwf_plan_dft_2d(c->n, c->n, c->pupil, c->pupil, FFTW_FORWARD, FFTW_MEASURE);
	}
	fclose(f);
	size_t half = (size_t)n * (n / 2 + 1);
	chart = fftwf_alloc_complex(half);
	spectrum = fftwf_alloc_complex(half);
	spot = fftwf_alloc_real((size_t)n * n);
	image = fftwf_alloc_real((size_t)n * n);
	forward = fftwf_plan_dft_r2c_2d(n, n, spot, spectrum, FFTW_MEASURE);
	back = fftwf_plan_dft_c2r_2d(n, n, spectrum, image, FFTW_MEASURE);
	tail = fftwf_alloc_real(half);
	load(folder, "chart.c64", chart, sizeof *chart, half);
	load(folder, "tail.f32", tail, sizeof *tail, half);
}

static void fill(struct colour *c) {
	double h = c->nm * 1e-6 / (c->n * pitch / 60 * M_PI / 180);
	int wide = ceil(2 * radius / h);
	memset(c->pupil, 0, sizeof *c->pupil * c->n * c->n);
	c->entering = c->lost = 0;
	for (int j = 0; j < wide; j++)
		for (int i = 0; i < wide; i++) {
			double x = (i - (wide - 1) / 2.0) * h, y = ((wide - 1) / 2.0 - j) * h;
			double edge = (radius - hypot(x, y)) / h + 0.5;
			if (edge <= 0) continue;
			edge = fmin(edge, 1);
			c->entering += edge;
			c->lost += edge - edge * edge;
			double m = mean + c->focus, w = (m + straight) / 2 * x * x + (m - straight) / 2 * y * y + oblique * x * y;
			c->pupil[j * c->n + i] = edge * cexp(2 * M_PI * I * w / (c->nm / 1000));
		}
}

static void add(struct colour *c) {
	/* The lost light would have gone far: it is spread evenly. */
	double area = (double)c->n * c->n, scale = c->weight / (c->entering * area), rest = c->lost * scale;
	for (int j = 0; j < c->n; j++)
		for (int i = 0; i < c->n; i++) {
			fftwf_complex a = c->pupil[j * c->n + i];
			int y = j < c->n / 2 ? j : j - c->n + n, x = i < c->n / 2 ? i : i - c->n + n;
			spot[(size_t)y * n + x] += scale * creal(a * conj(a)) + rest;
		}
}

/* frame computes a frame and returns the nanoseconds of its transforms. */
static double frame(void) {
	double took = 0, start;
	for (struct colour *c = colour; c < colour + colours; c++) fill(c);
	start = now();
	for (struct colour *c = colour; c < colour + colours; c++) fftwf_execute(c->plan);
	took += now() - start;
	memset(spot, 0, sizeof *spot * n * n);
	for (struct colour *c = colour; c < colour + colours; c++) add(c);
	start = now();
	fftwf_execute(forward);
	took += now() - start;
	for (size_t k = 0; k < (size_t)n * (n / 2 + 1); k++) spectrum[k] = (spectrum[k] + tail[k]) * chart[k];
	start = now();
	fftwf_execute(back);
	return took + now() - start;
}

int main(int argc, char **argv) {
	if (argc != 2) fail("which folder?");
	prepare(argv[1]);
	frame();
	FILE *f = in(argv[1], "fftw.f32", "wb");
	for (int j = 0; j < n; j++)
		for (int half = 0; half < 2; half++)
			fwrite(image + (size_t)((j + n / 2) % n) * n + (half ? 0 : n / 2), sizeof *image, n / 2, f);
	fclose(f);
	puts("ready");
	fflush(stdout);
	for (int count; scanf("%d", &count) == 1; fflush(stdout)) {
		for (int i = 0; i < count; i++) printf("%.0f ", frame());
		puts("");
	}
}
