// The image in a flat face that shines: the share of light that Gloss throws to the eye times the mean of what its facets show.
#include "include/view.glsl"
#include "include/gloss.glsl"
#define TAPS 32
uniform sampler2D mirrorMap;    // the mirrored view, a texel four pixels, in steps of half the width; a: how much of it is known
uniform sampler2D hazeDistance; // how far the mirrored view's surfaces lie, m
uniform sampler2D distanceMap;
uniform sampler2D albedoMap;    // a: shine
uniform sampler2D normalMap;    // a: roughness
uniform vec4 plane;             // of the face
layout(location = 0) out vec4 radiance;

void main() {
  ivec2 at = ivec2(gl_FragCoord.xy);
  float shine = texelFetch(albedoMap, at, 0).a, t = texelFetch(distanceMap, at, 0).r;
  vec4 normal = texelFetch(normalMap, at, 0);
  if (shine <= 0.0 || t >= nothing || dot(normal.xyz, plane.xyz) < 0.999) discard;
  vec3 away = rayAt(gl_FragCoord.xy), place = eye.xyz + t * away, n = plane.xyz;
  if (abs(dot(n, place) + plane.w) > 0.01 + 2e-4 * t) discard;
  float rough = normal.w, cosine = -dot(n, away);
  // Haze stands where what is behind it stands, and where nothing is, as far as a stage.
  float there = texelFetch(hazeDistance, at, 0).r, way = there < nothing ? max(there - t, 0.0) : 12.0;
  vec3 u = normalize(cross(n, abs(n.z) < 0.9 ? vec3(0.0, 0.0, 1.0) : vec3(0.0, 1.0, 0.0))), v = cross(n, u);
  vec4 sum = vec4(0.0);
  for (int i = 0; i < TAPS; i++) {
    // Facets by their slope as often as they are, on a spiral of golden angles.
    float part = (float(i) + 0.5) / float(TAPS), turned = float(i) * 2.39996323, slope = rough * sqrt(part / (1.0 - part));
    vec3 facet = normalize(n + slope * (cos(turned) * u + sin(turned) * v));
    vec3 back = reflect(away, facet);
    float up = dot(back, n);
    if (dot(facet, away) >= 0.0 || up <= 0.0) continue;
    // The image of where that goes to, behind the face.
    vec4 clip = viewProjection * vec4(place + way * (back - 2.0 * up * n), 1.0);
    if (clip.w <= 0.0) continue;
    float wide = 2.0 * rough / ((1.0 - part) * sqrt(float(TAPS))) * way / ((t + way) * pixelAngle);
    sum += textureLod(mirrorMap, clip.xy / clip.w * 0.5 + 0.5, max(log2(max(wide, 1.0)) - 1.0, 0.0));
  }
  if (sum.a <= 0.0) discard;
  vec2 side = vec2(textureSize(glossShares, 0));
  vec4 shares = textureLod(glossShares, (vec2(cosine, sqrt(rough)) * (side - 1.0) + 0.5) / side, 0.0);
  radiance = vec4(sum.rgb / sum.a * (shine * shares.x + shares.y), 0.0);
}
