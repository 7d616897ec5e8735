// The naive way that haze.frag is measured beside. Even steps of the whole stretch of ray inside a sphere around the
// beam; each asks whether it is in the beam.
#include "include/view.glsl"
#include "include/beamlight.glsl"
#include "include/shadow.glsl"
uniform sampler2D distanceMap;
layout(location = 0) out vec4 radiance;

void main() {
  vec3 d = rayAt(gl_FragCoord.xy);
  // From the lens to where the axis meets the end.
  float reach = dot(beamEnd.xyz, beamAxis) < 0.0 ? -(dot(beamEnd.xyz, beamApex) + beamEnd.w) / dot(beamEnd.xyz, beamAxis) : 200.0;
  float tan2 = beamSinSquared / beamCosSquared;
  vec3 centre = beamApex + beamAxis * (0.5 * reach);
  float radius = 0.5 * reach * sqrt(1.0 + 4.0 * tan2);
  vec3 o = eye.xyz - centre;
  float b = dot(o, d), disc = b * b - dot(o, o) + radius * radius;
  if (disc <= 0.0) discard;
  float from = max(0.0, -b - sqrt(disc)), to = min(texelFetch(distanceMap, ivec2(gl_FragCoord.xy), 0).r, -b + sqrt(disc));
  if (to <= from) discard;
  float pace = (to - from) / float(MARCH);
  float sum = 0.0;
  for (int i = 0; i < MARCH; i++) {
    float t = from + pace * (float(i) + 0.5);
    vec3 place = eye.xyz + d * t;
    vec3 away = place - beamApex;
    float r2 = dot(away, away);
    float f = insidePlanes(place, 0.0) ? relativeTowards(away) : 0.0;
#ifdef SHADOWS
    f *= f > 0.0 ? litSurface(place, vec3(0.0)) : 0.0;
#endif
    float r = sqrt(r2);
    sum += f / r2 * phase(-dot(away, d) / r) * clear(t + max(0.0, r - beamStartDistance));
  }
  radiance = vec4(beamLight * (scattering * pace * sum), 0.0);
}
