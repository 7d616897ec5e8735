// Light of one beam on the surfaces inside its hull, added to the radiance at the eye; with SCALE at a fraction of the resolution, as illuminance.
#include "include/view.glsl"
#include "include/surfacelight.glsl"
#ifdef SHINY
#include "include/gloss.glsl"
#endif
uniform sampler2D distanceMap;
uniform sampler2D albedoMap;
uniform sampler2D normalMap;
layout(location = 0) out vec4 radiance;

void main() {
#ifdef SCALE
  ivec2 at = min(ivec2(gl_FragCoord.xy) * SCALE + SCALE / 2, ivec2(size) - 1);
  vec2 seen = vec2(at) + 0.5;
#else
  ivec2 at = ivec2(gl_FragCoord.xy);
  vec2 seen = gl_FragCoord.xy;
#endif
  float t = texelFetch(distanceMap, at, 0).r;
  if (t >= nothing) discard;
  vec3 place = eye.xyz + t * rayAt(seen);
  float f = reaching(place);
  if (f <= 0.0) discard;
  vec4 n = texelFetch(normalMap, at, 0);
  vec3 light = lightOn(place, n.xyz, t, f);
#ifdef SCALE
  radiance = vec4(light, 0.0);
#elif defined(SHINY)
  vec3 toLight = -normalize(nearWay(place - beamApex));
  radiance = vec4(thrown(light, toLight, n.xyz, normalize(eye.xyz - place), texelFetch(albedoMap, at, 0), n.w), 0.0);
#else
  radiance = vec4(light * texelFetch(albedoMap, at, 0).rgb / PI, 0.0);
#endif
}
