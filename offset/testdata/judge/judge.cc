// judge offsets the polygons of a file with GEOS and with Clipper, each both
// ways, and prints CPU seconds and what comes out:
//
//   judge FILE.wkb DISTANCE TOLERANCE
//
// "whole" hands over all polygons at once; "polygon by polygon" offsets each by
// itself and, when growing, unites the results. Reading and converting the
// input is not counted. Needs Debian's libgeos-dev and libpolyclipping-dev; see
// the script beside it.
#include <geos_c.h>
#include <polyclipping/clipper.hpp>

#include <cmath>
#include <cstdarg>
#include <cstdio>
#include <cstdlib>
#include <ctime>
#include <string>
#include <vector>

using ClipperLib::Paths;

static const double scale = 1e4; // Clipper's units in a millimetre

static double cpu() {
  timespec t;
  clock_gettime(CLOCK_PROCESS_CPUTIME_ID, &t);
  return t.tv_sec + 1e-9 * t.tv_nsec;
}

static void report(const char *engine, const char *way, double seconds, double area, long vertices, long rings) {
  std::printf("%s\t%s\t%.4f\t%.4f\t%ld\t%ld\n", engine, way, seconds, area, vertices, rings);
  std::fflush(stdout);
}

static void say(const char *fmt, ...) {
  va_list ap;
  va_start(ap, fmt);
  std::vfprintf(stderr, fmt, ap);
  va_end(ap);
  std::fputc('\n', stderr);
}

static void reportGeos(const char *way, double seconds, GEOSGeometry *g) {
  double area = 0;
  GEOSArea(g, &area);
  long rings = 0;
  for (int i = 0; i < GEOSGetNumGeometries(g); i++) {
    const GEOSGeometry *p = GEOSGetGeometryN(g, i);
    for (int k = 0; k < GEOSGetNumGeometries(p); k++) {
      const GEOSGeometry *q = GEOSGetGeometryN(p, k);
      if (!GEOSisEmpty(q)) rings += 1 + GEOSGetNumInteriorRings(q);
    }
  }
  report("GEOS " GEOS_VERSION, way, seconds, area, GEOSGetNumCoordinates(g), rings);
  GEOSGeom_destroy(g);
}

static ClipperLib::Path path(const GEOSGeometry *ring) {
  ClipperLib::Path p;
  const GEOSCoordSequence *s = GEOSGeom_getCoordSeq(ring);
  unsigned n;
  GEOSCoordSeq_getSize(s, &n);
  for (unsigned i = 0; i + 1 < n; i++) {
    double x, y;
    GEOSCoordSeq_getXY(s, i, &x, &y);
    p.push_back(ClipperLib::IntPoint(std::llround(x * scale), std::llround(y * scale)));
  }
  return p;
}

static void reportClipper(const char *way, double seconds, const Paths &ps) {
  double area = 0;
  long n = 0;
  for (auto &p : ps) {
    area += ClipperLib::Area(p);
    n += p.size();
  }
  report("Clipper " CLIPPER_VERSION, way, seconds, area / scale / scale, n, ps.size());
}

int main(int argc, char **argv) {
  if (argc != 4) {
    std::fprintf(stderr, "use: judge FILE.wkb DISTANCE TOLERANCE\n");
    return 2;
  }
  const double d = std::atof(argv[2]), tol = std::atof(argv[3]);
  initGEOS(say, say);
  std::FILE *f = std::fopen(argv[1], "rb");
  if (!f) {
    std::perror(argv[1]);
    return 1;
  }
  std::string bytes;
  char buf[65536];
  for (size_t n; (n = std::fread(buf, 1, sizeof buf, f)) > 0;) bytes.append(buf, n);
  std::fclose(f);
  GEOSGeometry *g = GEOSGeomFromWKB_buf((const unsigned char *)bytes.data(), bytes.size());
  if (!g) return 1;
  const int polygons = GEOSGetNumGeometries(g);
  const int quad = std::max(1, (int)std::ceil(M_PI / 4 / std::acos(1 - tol / std::fabs(d))));

  double t = cpu();
  GEOSGeometry *out = GEOSBuffer(g, d, quad);
  reportGeos("whole", cpu() - t, out);

  t = cpu();
  std::vector<GEOSGeometry *> parts;
  for (int i = 0; i < polygons; i++) parts.push_back(GEOSBuffer(GEOSGetGeometryN(g, i), d, quad));
  out = GEOSGeom_createCollection(GEOS_GEOMETRYCOLLECTION, parts.data(), parts.size());
  if (d > 0) {
    GEOSGeometry *u = GEOSUnaryUnion(out);
    GEOSGeom_destroy(out);
    out = u;
  }
  reportGeos("polygon by polygon", cpu() - t, out);

  std::vector<Paths> in(polygons);
  for (int i = 0; i < polygons; i++) {
    const GEOSGeometry *p = GEOSGetGeometryN(g, i);
    in[i].push_back(path(GEOSGetExteriorRing(p)));
    for (int k = 0; k < GEOSGetNumInteriorRings(p); k++) in[i].push_back(path(GEOSGetInteriorRingN(p, k)));
  }
  t = cpu();
  Paths res;
  {
    ClipperLib::ClipperOffset co(2, tol * scale);
    for (auto &ps : in) co.AddPaths(ps, ClipperLib::jtRound, ClipperLib::etClosedPolygon);
    co.Execute(res, d * scale);
  }
  reportClipper("whole", cpu() - t, res);

  t = cpu();
  Paths all;
  for (auto &ps : in) {
    ClipperLib::ClipperOffset co(2, tol * scale);
    co.AddPaths(ps, ClipperLib::jtRound, ClipperLib::etClosedPolygon);
    co.Execute(res, d * scale);
    all.insert(all.end(), res.begin(), res.end());
  }
  if (d > 0) {
    ClipperLib::Clipper c;
    c.AddPaths(all, ClipperLib::ptSubject, true);
    c.Execute(ClipperLib::ctUnion, res, ClipperLib::pftNonZero, ClipperLib::pftNonZero);
    all = res;
  }
  reportClipper("polygon by polygon", cpu() - t, all);
}
