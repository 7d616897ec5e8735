// Light of one beam on the surfaces inside its hull, added to the radiance at the eye.
#include "include/view.glsl"
#include "include/surfacelight.glsl"
uniform sampler2D distanceMap;
uniform sampler2D albedoMap;
uniform sampler2D normalMap;
layout(location = 0) out vec4 radiance;

void main() {
  ivec2 at = ivec2(gl_FragCoord.xy);
  float t = texelFetch(distanceMap, at, 0).r;
  if (t >= nothing) discard;
  vec3 place = eye.xyz + t * rayAt(gl_FragCoord.xy);
  float f = reaching(place);
  if (f <= 0.0) discard;
  vec3 light = lightOn(place, texelFetch(normalMap, at, 0).xyz, t, f);
  radiance = vec4(light * texelFetch(albedoMap, at, 0).rgb / PI, 0.0);
}
