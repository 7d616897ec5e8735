// Light that the haze inside one beam scatters to the eye along a ray, for haze.frag and tiled/haze.comp. Same integral as ReferenceRadiance, in the angle phi seen
// from the apex: t = tc + D tan phi, so the inverse square cancels (Kulla and Fajardo 2012); Gauss-Legendre points in each smooth stretch.
#include "include/beamlight.glsl"
#include "include/shadow.glsl"
#ifdef UNEVEN
#include "include/patches.glsl"
#endif

// The ray seen from the apex: X = apex + c + u d with c at right angles to d; D = |c|.
vec3 rayD, rayC;
float closest;   // distance from the eye to the point nearest the apex
float D;
float cAxis, dAxis;            // c.axis / D, d.axis
vec3 cAcross, dAcross;         // (c x axis) / D, d x axis
#if defined(GOBOS) || defined(WEBS) || defined(FORMED)
#define OWN_AXES
#endif
#ifdef OWN_AXES
float cRight, dRight, cUp, dUp; // the same along the beam's own axes
float spread;                   // between two samples, in tangents
#endif

void cut(float value, float slope, inout float from, inout float to) {
  if (abs(slope) < 1e-9) { if (value < 0.0) to = from - 1.0; return; }
  float u = -value / slope;
  if (slope > 0.0) from = max(from, u); else to = min(to, u);
}

void cutPlane(vec4 plane, inout float from, inout float to) {
  cut(dot(plane.xyz, beamApex + rayC) + plane.w, dot(plane.xyz, rayD), from, to);
}

// Integral of discShare.
float discShareSum(float t) { return t * (0.5 + t * (0.328125 - 0.0390625 * t * t)); }

// A mirror's edge, soft by the size of the lens: shortens the stretch, from where it is dark, to what is lit of it by that at the lit end, and dims it by
// that. Right where the ray crosses the half-shadow and where it runs along it. Along the ray the half-shadow's place on the lens is taken as linear.
void cutSoft(vec4 edge, vec4 mirror, inout float from, inout float to, inout float share) {
  vec2 e = vec2(dot(edge.xyz, beamApex + rayC) + edge.w, dot(edge.xyz, rayD));
  vec2 h = vec2(dot(mirror.xyz, beamApex + rayC) + mirror.w, dot(mirror.xyz, rayD));
  cut(e.x + h.x, e.y + h.y, from, to);
  if (to <= from) return;
  float a = (e.x + e.y * from) / max(h.x + h.y * from, 1e-7), b = (e.x + e.y * to) / max(h.x + h.y * to, 1e-7);
  float lit = clamp(max(a, b), -1.0, 1.0), dark = clamp(min(a, b), -1.0, 1.0);
  if (dark >= 1.0) return;
  float slope = e.y - h.y, whole = 0.0;
  if (max(a, b) > 1.0 && abs(slope) > 1e-9) {
    float u = (h.x - e.x) / slope;
    whole = clamp(b > a ? to - u : u - from, 0.0, to - from);
  }
  float least = discShare(lit);
  float mean = lit - dark > 1e-3 ? (discShareSum(lit) - discShareSum(dark)) / (lit - dark) : least;
  float left = (whole + (to - from - whole) * mean) / max(least, 1e-6);
  if (b > a) from = to - left; else to = from + left;
  share *= least;
}

// Roots of a u^2 + 2 b u + c, the smaller first; disc = b^2 - a c.
vec2 roots(float a, float b, float c, float disc) {
  float q = -(b + (b < 0.0 ? -1.0 : 1.0) * sqrt(disc));
  float u0 = abs(a) < 1e-12 ? (q * a < 0.0 ? -1e9 : 1e9) : q / a;
  float u1 = q == 0.0 ? 0.0 : c / q;
  return vec2(min(u0, u1), max(u0, u1));
}

// The stretch of u inside the cone of half-angle a about the axis (s2, c2: sin^2, cos^2 of a). Near the lens the cone is a hyperboloid, off^2 = tan^2 (z^2
// + n) with n at most s^2 and less far away: first with the most, then each end again with what n is there.
bool cone(float s2, float c2, inout float from, inout float to) {
  float a = s2 * dAxis * dAxis - c2 * dot(dAcross, dAcross);
  float b = (s2 * cAxis * dAxis - c2 * dot(cAcross, dAcross)) * D;
  float c = (s2 * cAxis * cAxis - c2 * dot(cAcross, cAcross)) * D * D;
  float most = c + s2 * beamNearSquared;
  float disc = b * b - a * most;
  if (disc <= 0.0) { if (a <= 0.0) return false; return true; }
  vec2 u = roots(a, b, most, disc);
  vec2 z = max(cAxis * D + u * dAxis, 0.0);
  if (a < 0.0 && max(z.x, z.y) <= 0.0) return false;
  if (beamNearSquared > 0.0) {
    vec2 z2 = z * z, n = vec2(seeming2(z2.x), seeming2(z2.y)) - z2;
    vec2 again = b * b - a * (c + s2 * n);
    u = vec2(again.x > 0.0 ? roots(a, b, c + s2 * n.x, again.x).x : u.x, again.y > 0.0 ? roots(a, b, c + s2 * n.y, again.y).y : u.y);
  }
  // Outside between the roots: the other one is behind the lens, or the ray leaves near it and comes back farther on, where what lies between is dark.
  if (a < 0.0) { from = max(from, u.x); to = min(to, u.y); }
  else if (dAxis > 0.0) { if (z.x <= 0.0) from = max(from, u.y); }
  else if (z.y <= 0.0) to = min(to, u.x);
  return to > from;
}

// Integrand at (cos phi, sin phi), without the factors that are the same along the ray.
vec3 lightAt(vec2 w) {
  float f = 1.0;
  float r = D / w.x;
#ifndef OMNI
  // Along the axis by r, as the light seems to come; the inverse square that the angle has taken in is that of r.
  float ahead = cAxis * w.x + dAxis * w.y, seeming = max(ahead, 0.0), thinned = 1.0;
  vec3 off = cAcross * w.x + dAcross * w.y;
  float off2 = dot(off, off);
  if (beamNearSquared > 0.0) {
    float z = r * seeming;
    seeming = sqrt(seeming2(z * z)) / r;
    thinned = 1.0 / (off2 + seeming * seeming);
  }
#endif
#if defined(WEBS) && !defined(OMNI)
  f = webAt(atan(sqrt(off2), seeming), atan(cUp * w.x + dUp * w.y, cRight * w.x + dRight * w.y)) * thinned;
#elif defined(WEBS)
  float across = length(cAcross * w.x + dAcross * w.y);
  f = webAt(atan(across, cAxis * w.x + dAxis * w.y), atan(cUp * w.x + dUp * w.y, cRight * w.x + dRight * w.y));
#elif !defined(OMNI)
  // 1 - cos of the angle off the axis: off^2 / (r (r + along)), all by r.
  float x = off2 * thinned / (1.0 + seeming * sqrt(thinned));
#ifdef FORMED
  f = formedProfile(vec2(cRight * w.x + dRight * w.y, cUp * w.x + dUp * w.y) / seeming, squareOfAngle(x)) * thinned;
#else
  f = profileAt(squareOfAngle(x), beamCurveScale, beamCurveHalfExponent) * thinned;
#endif
#endif
  float t = closest + r * w.y;
  vec3 colour = vec3(1.0);
#ifdef GOBOS
  vec2 tangents = vec2(cRight * w.x + dRight * w.y, cUp * w.x + dUp * w.y) / seeming;
  colour = goboAt(tangents, r * ahead - beamStartDistance, spread);
#endif
#ifdef FORMED
  f *= bladesAt(vec2(cRight * w.x + dRight * w.y, cUp * w.x + dUp * w.y) / seeming, r * ahead - beamStartDistance, spread);
#endif
#ifdef UNEVEN
  f *= density(beamApex + rayC + rayD * (r * w.y));
#endif
  return colour * (f * phase(-w.y) * clear(max(t, 0.0) + max(0.0, r - beamStartDistance)));
}

// sin and cos of a in 0..pi/2, relative error below 1e-5.
vec2 cosSin(float a) {
  float q = a * a;
  return vec2(1.0 + q * (-0.5 + q * (1.0 / 24.0 + q * (-1.0 / 720.0 + q * (1.0 / 40320.0 - q / 3628800.0)))),
              a * (1.0 + q * (-1.0 / 6.0 + q * (1.0 / 120.0 + q * (-1.0 / 5040.0 + q * (1.0 / 362880.0))))));
}

vec2 turn(vec2 m, vec2 by) { return vec2(m.x * by.x - m.y * by.y, m.y * by.x + m.x * by.y); }

void span(float from, float to, out vec2 middle, out float halfAngle) {
  vec2 a = vec2(D, from) * inversesqrt(D * D + from * from);
  vec2 b = vec2(D, to) * inversesqrt(D * D + to * to);
  middle = normalize(a + b);
  halfAngle = 0.5 * atan(D * (to - from), D * D + from * to);
}

// Gauss-Legendre over u in from..to: abscissae and weights of Abramowitz and Stegun, table 25.4.
vec3 gauss2(float from, float to) {
  vec2 m; float h;
  span(from, to, m, h);
  vec2 a = cosSin(h * 0.5773502692);
  return h * (lightAt(turn(m, a)) + lightAt(turn(m, vec2(a.x, -a.y))));
}

vec3 gauss3(float from, float to) {
  vec2 m; float h;
  span(from, to, m, h);
  vec2 a = cosSin(h * 0.7745966692);
  return h * (0.8888888889 * lightAt(m) + 0.5555555556 * (lightAt(turn(m, a)) + lightAt(turn(m, vec2(a.x, -a.y)))));
}

vec3 gauss4(float from, float to) {
  vec2 m; float h;
  span(from, to, m, h);
  vec2 a = cosSin(h * 0.3399810436), b = cosSin(h * 0.8611363116);
  return h * (0.6521451549 * (lightAt(turn(m, a)) + lightAt(turn(m, vec2(a.x, -a.y))))
            + 0.3478548451 * (lightAt(turn(m, b)) + lightAt(turn(m, vec2(b.x, -b.y)))));
}

vec3 gauss6(float from, float to) {
  vec2 m; float h;
  span(from, to, m, h);
  vec2 a = cosSin(h * 0.2386191861), b = cosSin(h * 0.6612093865), c = cosSin(h * 0.9324695142);
  return h * (0.4679139346 * (lightAt(turn(m, a)) + lightAt(turn(m, vec2(a.x, -a.y))))
            + 0.3607615730 * (lightAt(turn(m, b)) + lightAt(turn(m, vec2(b.x, -b.y))))
            + 0.1713244924 * (lightAt(turn(m, c)) + lightAt(turn(m, vec2(c.x, -c.y)))));
}

// Light from the stretch of u in from..to, shadows left out. No branches: a rasteriser on the CPU runs both sides of one.
// GAUSS_ONE and GAUSS_PART (gauss2 to gauss6) are set by the quality.
#ifdef OWN_AXES
vec2 tangentsAt(float u) {
  return vec2(cRight * D + dRight * u, cUp * D + dUp * u) / max(cAxis * D + dAxis * u, 1e-3);
}

// Tables have kinks, where the middles of even steps do better than Gauss-Legendre; a gobo is read as blurred as the steps are long.
vec3 even(float from, float to) {
  vec2 m; float h;
  span(from, to, m, h);
  float pace = 2.0 * h / float(STEPS);
  spread = length(tangentsAt(to) - tangentsAt(from)) / float(STEPS);
  if (filtering.x > 0.0) {
    // No finer than a pixel at the middle of the stretch, so that shafts thinner than one don't flicker.
    float u = D * m.y / m.x;
    spread = max(spread, pixelAngle * max(closest + u, 0.0) / max(cAxis * D + dAxis * u, 0.05));
  }
  vec2 by = vec2(cos(pace), sin(pace));
  vec2 start = h - 0.5 * pace > 0.0 ? vec2(cos(h - 0.5 * pace), sin(h - 0.5 * pace)) : vec2(1.0, 0.0);
  vec2 w = turn(m, vec2(start.x, -start.y));
  vec3 sum = vec3(0.0);
  for (int i = 0; i < STEPS; i++) {
    sum += lightAt(w);
    w = turn(w, by);
  }
  return sum * pace;
}
#endif

vec3 stretch(float from, float to) {
#if defined(GOBOS) || defined(FORMED) || (defined(WEBS) && !defined(OMNI))
  return even(from, to);
#elif defined(OMNI) && defined(WEBS)
  float globe = sqrt(max(0.0, beamStartDistance * beamStartDistance - D * D));
  float near = min(to, -globe), far = max(from, globe);
  return (near > from ? 1.0 : 0.0) * even(from, max(near, from)) + (to > far ? 1.0 : 0.0) * even(min(far, to), to);
#elif defined(OMNI) && defined(AFTER_MIRROR)
  return GAUSS_PART(from, to);
#elif defined(OMNI)
  // Outside the globe of the source, on both sides of the closest approach.
  float globe = sqrt(max(0.0, beamStartDistance * beamStartDistance - D * D));
  float near = min(to, -globe), far = max(from, globe);
  return (near > from ? 1.0 : 0.0) * GAUSS_ONE(from, max(near, from)) + (to > far ? 1.0 : 0.0) * GAUSS_ONE(min(far, to), to);
#elif defined(HARD)
  // A hard edge: the flat middle apart from the two flanks; where the ray misses the flat middle, two halves.
  float i0 = from, i1 = to;
  float tan2 = beamCurveInnerTanSquared;
  bool hit = cone(tan2 / (1.0 + tan2), 1.0 / (1.0 + tan2), i0, i1);
  float m = 0.5 * (from + to);
  i0 = hit ? i0 : m;
  i1 = hit ? i1 : m;
  return GAUSS_PART(from, i0) + GAUSS_PART(i0, i1) + GAUSS_PART(i1, to);
#else
  return GAUSS_ONE(from, to);
#endif
}

#ifdef SHADOWS
// The ray in the shadow atlas, homogeneous in (cos phi, sin phi) of any length: texel = (c w.x + d w.y).xy / .z, and .z / w.x is the way along the axis.
vec3 texelC, texelD;
#ifdef LENS_RAYS
vec2 tileLow;
float tileSide;
#endif

float litAt(vec2 w) {
  vec3 p = texelC * w.x + texelD * w.y;
  float inverse = 1.0 / p.z;
  vec2 texel = p.xy * inverse;
#ifdef LENS_RAYS
  texel = clamp(texel, tileLow, tileLow + tileSide - 1.0);
#endif
  float depth = texelFetch(shadowAtlas, ivec2(texel), 0).r;
  return beamShadowDepthOffset + beamShadowDepthSlope * (w.x * inverse * (1.0 / 0.999)) <= depth ? 1.0 : 0.0;
}

// Where light changes between a (lit or not) and b, as u.
float edgeBetween(vec2 a, vec2 b, float litA) {
  for (int k = 0; k < EDGE_STEPS; k++) {
    vec2 m = 0.5 * (a + b);
    float same = litAt(m) == litA ? 1.0 : 0.0;
    a = mix(a, m, same);
    b = mix(m, b, same);
  }
  vec2 m = a + b;
  return D * m.y / m.x;
}

// Looks along the ray at LOOKS even steps of phi, takes each run of lit ones, narrows its ends down, and adds it up. Light comes from lens, m right and up
// from its middle, past things that stand where the first thing does.
vec3 litStretches(float from, float to, vec2 lens, float blocker) {
  vec3 right = cross(beamAxis, beamUp);
  vec2 atlas = vec2(textureSize(shadowAtlas, 0));
  vec4 tile = beamShadowTile * atlas.xyxy;
  texelC = vec3(dot(rayC, right), dot(rayC, beamUp), dot(rayC, beamAxis));
  texelD = vec3(dot(rayD, right), dot(rayD, beamUp), dot(rayD, beamAxis)) * D;
#ifdef LENS_RAYS
  // The tile that the ray without a shift is in; tiles lie at multiples of their sides.
  vec3 begin = texelC + texelD * (from / D);
  tileSide = beamShadowSide * atlas.x;
  tileLow = floor((begin.xy / begin.z * beamShadowTile.xy + beamShadowTile.zw) * atlas / tileSide) * tileSide;
  texelC.xy += lens * (texelC.z / blocker - 1.0);
  texelD.xy += lens * (texelD.z / blocker);
#endif
  texelC.xy = texelC.xy * tile.xy + texelC.z * tile.zw;
  texelD.xy = texelD.xy * tile.xy + texelD.z * tile.zw;
  vec2 a = vec2(D, from) * inversesqrt(D * D + from * from);
  float pace = atan(D * (to - from), D * D + from * to) / float(LOOKS);
  vec2 by = cosSin(0.5 * pace);
  vec2 w = turn(a, by);
  by = turn(by, by);
  int lit = 0;
  for (int i = 0; i < LOOKS; i++) {
    lit |= int(litAt(w)) << i;
    w = turn(w, by);
  }
  vec3 sum = vec3(0.0);
  for (int run = 0; run < 4; run++) {
    int first = lit == 0 ? 0 : findLSB(lit);
    int after = findLSB(~(lit >> first)) + first; // bits above LOOKS are 0, so a run always ends
    float p0 = pace * (float(first) - 0.5), p1 = pace * (float(after) - 0.5);
    vec2 before = turn(a, vec2(cos(p0), sin(p0))), last = turn(a, vec2(cos(p1), sin(p1)));
    float start = edgeBetween(before, turn(before, by), 0.0);
    float end = edgeBetween(last, turn(last, by), 1.0);
    start = first == 0 ? from : start;
    end = after == LOOKS ? to : max(end, start);
    sum += (lit != 0 ? 1.0 : 0.0) * stretch(start, end);
    lit &= ~((1 << after) - 1);
    if (lit == 0) break;
  }
  return sum;
}
#endif

// False where the ray misses the beam. d is the ray from the eye, seen how far it goes, m.
bool hazeAlong(vec3 d, float seen, out vec3 light) {
  light = vec3(0.0);
  rayD = d;
  vec3 rel = eye.xyz - beamApex;
  closest = -dot(rel, rayD);
  rayC = rel + closest * rayD;
  D = max(length(rayC), 1e-4);
  cAxis = dot(rayC, beamAxis) / D;
  dAxis = dot(rayD, beamAxis);
  cAcross = cross(rayC, beamAxis) / D;
  dAcross = cross(rayD, beamAxis);

#ifdef OWN_AXES
  vec3 ownRight_ = cross(beamAxis, beamUp) * beamHand;
  cRight = dot(rayC, ownRight_) / D;
  dRight = dot(rayD, ownRight_);
  cUp = dot(rayC, beamUp) / D;
  dUp = dot(rayD, beamUp);
#endif

  float from = -closest;
  float to = seen - closest;
  if (face.xyz != vec3(0.0)) cut(dot(face.xyz, beamApex + rayC) + face.w, dot(face.xyz, rayD), from, to);
#ifndef OMNI
  if (!cone(beamSinSquared, beamCosSquared, from, to)) return false;
  cutPlane(beamStart, from, to);
#else
  if (beamStart.xyz != vec3(0.0)) cutPlane(beamStart, from, to);
#endif
  if (beamEnd.xyz != vec3(0.0)) cutPlane(beamEnd, from, to);
  int first = int(beamFirstEdge), count = int(beamEdgeCount), softEdges = int(beamSoftEdges);
  float share = 1.0;
  vec4 mirror = softEdges > 0 ? texelFetch(beamEdges, first - 1) : vec4(0.0);
  for (int i = 0; i < count; i++) {
    vec4 edge = texelFetch(beamEdges, first + i);
    if (i < softEdges) cutSoft(edge, mirror, from, to, share); else cutPlane(edge, from, to);
  }
  if (to <= from) return false;
#ifdef FORMED
  // What blades keep dark for certain: softness is largest at one of the ends.
  float soft = max(bladeSoftness(cAxis * D + dAxis * from - beamStartDistance), bladeSoftness(cAxis * D + dAxis * to - beamStartDistance));
  for (int i = 0; i < int(beamBladeCount); i++) {
    vec4 edge = bladeAt(i);
    float d = edge.z + soft;
    cut((d * cAxis - edge.x * cRight - edge.y * cUp) * D, d * dAxis - edge.x * dRight - edge.y * dUp, from, to);
  }
  if (to <= from) return false;
#endif

#ifdef SHADOWS
#if defined(LENS_RAYS) && !defined(OMNI)
  // Four points of the lens across the ray, each with a quarter of its area behind it: along the ray half-shadows give and take the same.
  float blocker = max(0.3, -dot(beamStart.xyz, beamApex) - beamStart.w);
  vec3 right = cross(beamAxis, beamUp);
  vec2 run = vec2(dot(rayD, right), dot(rayD, beamUp)) * dot(rayC, beamAxis) - vec2(dot(rayC, right), dot(rayC, beamUp)) * dAxis;
  vec2 across = beamSoftRadius * (dot(run, run) > 1e-12 ? vec2(-run.y, run.x) * inversesqrt(dot(run, run)) : vec2(1.0, 0.0));
  vec3 sum = vec3(0.0);
  for (int i = 0; i < LENS_RAYS; i++) {
    float at = i < 2 ? (i < 1 ? -0.622 : -0.199) : (i < 3 ? 0.199 : 0.622);
    sum += litStretches(from, to, across * at, blocker) / float(LENS_RAYS);
  }
#else
  vec3 sum = litStretches(from, to, vec2(0.0), 1.0);
#endif
#else
  vec3 sum = stretch(from, to);
#endif
  light = beamLight * sum * (share * scattering / D);
  return true;
}
