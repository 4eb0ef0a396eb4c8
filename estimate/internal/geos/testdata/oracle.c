/*
 * Measures polygons with GEOS (libgeos_c 3.11). Reads jobs from standard input until it ends, numbers in plain text:
 *
 *   measure POLYGON             -> area length
 *   union N POLYGON...          -> area length
 *   clip R N POLYGON POLYGON... -> nanoseconds, then N lines: parts area... of the first polygon's intersection with each
 *                                  other one; done R times, the time is that of the fastest round and of
 *                                  GEOSIntersection alone
 *
 * A polygon is the number of its rings and for each the number of its places and x y of each, the first again as the
 * last; the first ring is the shell.
 */
#include <geos_c.h>
#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>

static void fail(const char *what, ...)
{
	va_list list;
	va_start(list, what);
	vfprintf(stderr, what, list);
	va_end(list);
	fputc('\n', stderr);
	exit(1);
}

static int count(void)
{
	int n;
	if (scanf("%d", &n) != 1 || n < 0)
		fail("no count");
	return n;
}

static GEOSGeometry *ring(void)
{
	int n = count();
	GEOSCoordSequence *places = GEOSCoordSeq_create(n, 2);
	for (int i = 0; i < n; i++) {
		double x, y;
		if (scanf("%lf %lf", &x, &y) != 2)
			fail("no place");
		GEOSCoordSeq_setXY(places, i, x, y);
	}
	GEOSGeometry *g = GEOSGeom_createLinearRing(places);
	if (!g)
		fail("no ring");
	return g;
}

static GEOSGeometry *polygon(void)
{
	int n = count();
	GEOSGeometry *shell = ring(), *holes[n];
	for (int i = 1; i < n; i++)
		holes[i - 1] = ring();
	GEOSGeometry *g = GEOSGeom_createPolygon(shell, holes, n - 1);
	if (!g || GEOSisValid(g) != 1)
		fail("no valid polygon");
	return g;
}

static void measure(const GEOSGeometry *g)
{
	double area, length;
	if (!g || !GEOSArea(g, &area) || !GEOSLength(g, &length))
		fail("no measure");
	printf("%.17g %.17g\n", area, length);
}

static long long now(void)
{
	struct timespec t;
	clock_gettime(CLOCK_PROCESS_CPUTIME_ID, &t); /* so that a busy machine does not slow it */
	return t.tv_sec * 1000000000LL + t.tv_nsec;
}

static void clip(void)
{
	int rounds = count(), n = count();
	GEOSGeometry *field = polygon(), **units = calloc(n, sizeof *units), **cut = calloc(n, sizeof *cut);
	for (int i = 0; i < n; i++)
		units[i] = polygon();
	long long best = -1;
	for (int r = 0; r < rounds; r++) {
		for (int i = 0; i < n; i++)
			if (cut[i])
				GEOSGeom_destroy(cut[i]);
		long long began = now();
		for (int i = 0; i < n; i++)
			cut[i] = GEOSIntersection(field, units[i]);
		long long took = now() - began;
		if (best < 0 || took < best)
			best = took;
	}
	printf("%lld\n", best);
	for (int i = 0; i < n; i++) {
		if (!cut[i])
			fail("no intersection");
		int parts = GEOSGetNumGeometries(cut[i]);
		printf("%d", parts);
		for (int k = 0; k < parts; k++) {
			double area;
			if (!GEOSArea(GEOSGetGeometryN(cut[i], k), &area))
				fail("no area");
			printf(" %.17g", area);
		}
		printf("\n");
		GEOSGeom_destroy(cut[i]);
		GEOSGeom_destroy(units[i]);
	}
	GEOSGeom_destroy(field);
	free(units);
	free(cut);
}

int main(void)
{
	char word[16];
	initGEOS(NULL, NULL);
	while (scanf("%15s", word) == 1) {
		if (!strcmp(word, "measure")) {
			GEOSGeometry *g = polygon();
			measure(g);
			GEOSGeom_destroy(g);
		} else if (!strcmp(word, "union")) {
			int n = count();
			GEOSGeometry *list[n];
			for (int i = 0; i < n; i++)
				list[i] = polygon();
			GEOSGeometry *all = GEOSGeom_createCollection(GEOS_MULTIPOLYGON, list, n), *one = GEOSUnaryUnion(all);
			measure(one);
			GEOSGeom_destroy(one);
			GEOSGeom_destroy(all);
		} else if (!strcmp(word, "clip")) {
			clip();
		} else {
			fail("no job: %s", word);
		}
	}
	finishGEOS();
	return 0;
}
