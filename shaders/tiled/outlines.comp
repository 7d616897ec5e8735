// The outline of each hull in the picture: its bounding box, two ends across its axis and its two long sides.
layout(local_size_x = 64) in;
#include "include/view.glsl"
#include "tiled/tiles.glsl"

const float FRONT = 1e-3; // nearer to the eye's plane than this, m, nothing is projected

// The part of an edge before the eye; false where there is none.
bool before(inout vec4 a, inout vec4 b) {
  if (a.w < FRONT && b.w < FRONT) return false;
  if (a.w < FRONT) a = mix(b, a, (b.w - FRONT) / (b.w - a.w));
  else if (b.w < FRONT) b = mix(a, b, (a.w - FRONT) / (a.w - b.w));
  return true;
}

vec4 clipAt(uint corner) { return viewProjection * vec4(corners[corner].place, 1.0); }

vec2 pixelOf(vec4 clip) { return (clip.xy / clip.w * 0.5 + 0.5) * size; }

Outline made;

void begin(vec4 box, vec2 side, vec2 other, vec2 ends, float most) {
  made.box = box;
  made.sideNormal = side;
  made.sideMost = most;
  made.otherNormal = other;
  made.otherMost = most;
  made.spare = 0.0;
  made.endsNormal = ends;
  made.endsMost = most;
  made.endsLeast = -most;
}

void widen(vec2 p) {
  made.box = vec4(min(made.box.xy, p), max(made.box.zw, p));
  made.sideMost = max(made.sideMost, dot(made.sideNormal, p));
  made.otherMost = max(made.otherMost, dot(made.otherNormal, p));
  float along = dot(made.endsNormal, p);
  made.endsMost = max(made.endsMost, along);
  made.endsLeast = min(made.endsLeast, along);
}

void edge(vec4 a, vec4 b) {
  made.nearest = min(made.nearest, min(a.w, b.w));
  if (before(a, b)) { widen(pixelOf(a)); widen(pixelOf(b)); }
}

// Unit normal of a line from a to b, turned to the side that v points to.
vec2 sideOf(vec2 a, vec2 b, vec2 v) {
  vec2 e = b - a;
  vec2 n = vec2(-e.y, e.x);
  float length2 = dot(n, n);
  if (length2 < 1e-4) return v;
  n *= inversesqrt(length2);
  float facing = dot(n, v);
  return abs(facing) < 0.1 ? v : n * sign(facing);
}

void main() {
  uint k = gl_GlobalInvocationID.x;
  if (k >= uint(grid.w)) return;
  Hull hull = hulls[k];
  const float all = 1e9;
  // All over the picture.
  begin(vec4(-all, -all, all, all), vec2(0.0), vec2(0.0), vec2(0.0), all);
  made.nearest = 0.0;
  if (hull.beam < 0) made.box = vec4(all, all, -all, -all);
  if (hull.beam < 0 || hull.pairs == 0u) { outlines[k] = made; return; }

  uint first = hull.firstCorner;
  vec3 near = vec3(0.0), far = vec3(0.0);
  for (uint i = 0u; i < hull.pairs; i++) {
    near += corners[first + 2u * i].place;
    far += corners[first + 2u * i + 1u].place;
  }
  vec4 a = viewProjection * vec4(near / float(hull.pairs), 1.0), b = viewProjection * vec4(far / float(hull.pairs), 1.0);
  vec2 u = vec2(1.0, 0.0);
  if (before(a, b)) {
    vec2 e = pixelOf(b) - pixelOf(a);
    if (dot(e, e) > 1.0) u = normalize(e);
  }
  vec2 v = vec2(-u.y, u.x);
  // The long sides run through the outermost corners of both ends.
  vec2 nearMost = vec2(0.0), nearLeast = vec2(0.0), farMost = vec2(0.0), farLeast = vec2(0.0);
  vec4 most = vec4(-all, all, -all, all);
  for (uint i = 0u; i < hull.pairs; i++) {
    vec4 p = clipAt(first + 2u * i), q = clipAt(first + 2u * i + 1u);
    if (!before(p, q)) continue;
    vec2 pp = pixelOf(p), qq = pixelOf(q);
    float x = dot(v, pp), y = dot(v, qq);
    if (x > most.x) { most.x = x; nearMost = pp; }
    if (x < most.y) { most.y = x; nearLeast = pp; }
    if (y > most.z) { most.z = y; farMost = qq; }
    if (y < most.w) { most.w = y; farLeast = qq; }
  }
  // Nothing, to be widened corner by corner.
  begin(vec4(all, all, -all, -all), sideOf(nearMost, farMost, v), sideOf(nearLeast, farLeast, -v), u, -all);
  made.nearest = all;
  for (uint i = 0u; i < hull.pairs; i++) {
    uint j = i + 1u == hull.pairs ? 0u : i + 1u;
    vec4 p = clipAt(first + 2u * i), q = clipAt(first + 2u * i + 1u), r = clipAt(first + 2u * j), s = clipAt(first + 2u * j + 1u);
    edge(p, q);
    edge(p, r);
    edge(q, s);
  }
  // A pixel of slack for rounding.
  made.box += vec4(-1.0, -1.0, 1.0, 1.0);
  made.sideMost += 1.0;
  made.otherMost += 1.0;
  made.endsMost += 1.0;
  made.endsLeast -= 1.0;
  outlines[k] = made;
}
