// Light of one beam on the surfaces inside its hull, added to the radiance at the eye.
#include "include/view.glsl"

#include "include/beamlight.glsl"
#include "include/shadow.glsl"
uniform sampler2D distanceMap;
uniform sampler2D albedoMap;
uniform sampler2D normalMap;
layout(location = 0) out vec4 radiance;

void main() {
  ivec2 at = ivec2(gl_FragCoord.xy);
  float t = texelFetch(distanceMap, at, 0).r;
  if (t >= limits.x) discard;
  vec3 place = eye.xyz + t * rayAt(gl_FragCoord.xy);
  vec3 away = place - bApex.xyz;
  if (!insidePlanes(place, 0.002)) discard;
  float f = relativeTowards(away);
  if (f <= 0.0) discard;
  vec3 n = texelFetch(normalMap, at, 0).xyz;
  float r2 = dot(away, away);
  float cosine = -dot(n, away) * inversesqrt(r2);
  if (cosine <= 0.0) discard;
  vec3 diffuse = texelFetch(albedoMap, at, 0).rgb;
  float r = sqrt(r2);
  vec3 light = bLight.rgb * (f * cosine / r2 * clear(max(0.0, r - bLight.w) + t));
#ifdef SHADOWS
  light *= litSurface(place, n);
#endif
#ifdef GOBOS
  light *= goboTowards(away, r, 0.7 * limits.y * t / r);
#endif
  radiance = vec4(light * diffuse / PI, 0.0);
}
