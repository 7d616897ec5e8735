// Light of one beam on a surface, for surfacelight.frag and tiled/surfaces.comp.
#include "include/beamlight.glsl"
#include "include/shadow.glsl"

// Intensity towards a place relative to the axis, 0 where the beam does not go.
float reaching(vec3 place) {
  float share = insidePlanes(place, 0.002);
  return share > 0.0 ? share * relativeTowards(nearWay(place - beamApex)) : 0.0;
}

// Illuminance on a surface of normal n, thinned on the way from there to the eye, t metres; f from reaching.
vec3 lightOn(vec3 place, vec3 n, float t, float f) {
  vec3 away = nearWay(place - beamApex);
  float r2 = dot(away, away);
  float cosine = -dot(n, away) * inversesqrt(r2);
  if (cosine <= 0.0) return vec3(0.0);
  float r = sqrt(r2);
  vec3 light = beamLight * (f * cosine / r2 * clear(max(0.0, r - beamStartDistance) + t));
#ifdef SHADOWS
  light *= litSurface(place, n);
#endif
#ifdef FORMED
  float h = dot(away, beamAxis);
  if (h <= 0.0) return vec3(0.0);
  light *= bladesAt(vec2(dot(away, ownRight()), dot(away, beamUp)) / h, h - beamStartDistance, 0.7 * pixelAngle * t / r);
#endif
#ifdef GOBOS
  light *= goboTowards(away, r, 0.7 * pixelAngle * t / r);
#endif
  return light;
}
