// Light that the haze inside one beam scatters to the eye, along the pixel's ray. Same integral as ReferenceRadiance, in the angle phi seen
// from the apex: t = tc + D tan phi, so the inverse square cancels (Kulla and Fajardo 2012); Gauss-Legendre points in each smooth stretch.
#include "include/view.glsl"
#include "include/beamlight.glsl"
#include "include/shadow.glsl"
uniform sampler2D distanceMap;
layout(location = 0) out vec4 radiance;

// The ray seen from the apex: X = apex + c + u d with c at right angles to d; D = |c|.
vec3 rayD, rayC;
float closest;   // distance from the eye to the point nearest the apex
float D;
float cAxis, dAxis;            // c.axis / D, d.axis
vec3 cAcross, dAcross;         // (c x axis) / D, d x axis

void cut(float value, float slope, inout float from, inout float to) {
  if (abs(slope) < 1e-9) { if (value < 0.0) to = from - 1.0; return; }
  float u = -value / slope;
  if (slope > 0.0) from = max(from, u); else to = min(to, u);
}

void cutPlane(vec4 plane, inout float from, inout float to) {
  cut(dot(plane.xyz, bApex.xyz + rayC) + plane.w, dot(plane.xyz, rayD), from, to);
}

// The stretch of u inside the cone of half-angle a about the axis (s2, c2: sin^2, cos^2 of a).
bool cone(float s2, float c2, inout float from, inout float to) {
  float a = s2 * dAxis * dAxis - c2 * dot(dAcross, dAcross);
  float b = (s2 * cAxis * dAxis - c2 * dot(cAcross, dAcross)) * D;
  float c = (s2 * cAxis * cAxis - c2 * dot(cAcross, cAcross)) * D * D;
  float disc = b * b - a * c;
  if (disc <= 0.0) { if (a <= 0.0) return false; return true; }
  float q = -(b + (b < 0.0 ? -1.0 : 1.0) * sqrt(disc));
  float u0 = abs(a) < 1e-12 ? (q * a < 0.0 ? -1e9 : 1e9) : q / a;
  float u1 = q == 0.0 ? 0.0 : c / q;
  if (u0 > u1) { float s = u0; u0 = u1; u1 = s; }
  if (a < 0.0) {
    if (cAxis * D + 0.5 * (u0 + u1) * dAxis < 0.0) return false;
    from = max(from, u0); to = min(to, u1);
  } else if (dAxis > 0.0) from = max(from, u1);
  else to = min(to, u0);
  return to > from;
}

// Integrand at (cos phi, sin phi), without the factors that are the same along the ray.
float lightAt(vec2 w) {
  float f = 1.0;
  float r = D / w.x;
#ifndef OMNI
  vec3 across = cAcross * w.x + dAcross * w.y;
  float s2 = dot(across, across);
  float along = cAxis * w.x + dAxis * w.y;
  f = profileAt(squareOfAngle(s2 / (1.0 + along)), bCurve.x, bCurve.y);
#endif
  float t = closest + r * w.y;
  return f * phase(-w.y) * clear(max(t, 0.0) + max(0.0, r - bLight.w));
}

#ifdef SEARCH
vec3 colourAt(vec2 w);
#endif

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
float gauss6(float from, float to) {
  vec2 m; float h;
  span(from, to, m, h);
  vec2 a = cosSin(h * 0.2386191861), b = cosSin(h * 0.6612093865), c = cosSin(h * 0.9324695142);
  return h * (0.4679139346 * (lightAt(turn(m, a)) + lightAt(turn(m, vec2(a.x, -a.y))))
            + 0.3607615730 * (lightAt(turn(m, b)) + lightAt(turn(m, vec2(b.x, -b.y))))
            + 0.1713244924 * (lightAt(turn(m, c)) + lightAt(turn(m, vec2(c.x, -c.y)))));
}

float gauss4(float from, float to) {
  vec2 m; float h;
  span(from, to, m, h);
  vec2 a = cosSin(h * 0.3399810436), b = cosSin(h * 0.8611363116);
  return h * (0.6521451549 * (lightAt(turn(m, a)) + lightAt(turn(m, vec2(a.x, -a.y))))
            + 0.3478548451 * (lightAt(turn(m, b)) + lightAt(turn(m, vec2(b.x, -b.y)))));
}

void main() {
  rayD = rayAt(gl_FragCoord.xy);
  vec3 rel = eye.xyz - bApex.xyz;
  closest = -dot(rel, rayD);
  rayC = rel + closest * rayD;
  D = max(length(rayC), 1e-4);
  cAxis = dot(rayC, bAxis.xyz) / D;
  dAxis = dot(rayD, bAxis.xyz);
  cAcross = cross(rayC, bAxis.xyz) / D;
  dAcross = cross(rayD, bAxis.xyz);

  float from = -closest;
  float to = texelFetch(distanceMap, ivec2(gl_FragCoord.xy), 0).r - closest;
  if (face.xyz != vec3(0.0)) cut(dot(face.xyz, bApex.xyz + rayC) + face.w, dot(face.xyz, rayD), from, to);
#ifndef OMNI
  if (!cone(bAxis.w, bApex.w, from, to)) discard;
  cutPlane(bStart, from, to);
#else
  if (bStart.xyz != vec3(0.0)) cutPlane(bStart, from, to);
#endif
  if (bEnd.xyz != vec3(0.0)) cutPlane(bEnd, from, to);
  int first = int(bMore.x), count = int(bMore.y);
  for (int i = 0; i < count; i++) cutPlane(texelFetch(beamEdges, first + i), from, to);
  if (to <= from) discard;

  float sum;
#ifdef OMNI
  // Outside the globe of the source, on both sides of the closest approach.
  float globe = sqrt(max(0.0, bLight.w * bLight.w - D * D));
  sum = (from < -globe ? gauss4(from, min(to, -globe)) : 0.0) + (to > globe ? gauss4(max(from, globe), to) : 0.0);
#else
  float i0 = from, i1 = to;
  float tan2 = bCurve.z;
  if (tan2 > 0.0 && cone(tan2 / (1.0 + tan2), 1.0 / (1.0 + tan2), i0, i1)) {
    // A hard edge: the flat middle apart from the two flanks.
    sum = gauss4(i0, i1);
    if (i0 > from) sum += gauss4(from, i0);
    if (i1 < to) sum += gauss4(i1, to);
  } else {
    sum = gauss6(from, to);
  }
#endif
  radiance = vec4(bLight.rgb * (haze.y * sum / D), 0.0);
}
