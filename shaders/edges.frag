// A picture without stairs: surfaces were drawn anew a part of a pixel aside, and each pixel takes the light of the one beside it, or its own, whose surface
// is there (M. Chajdas, M. McGuire and D. Luebke, Subpixel reconstruction antialiasing, 2011).
#include "include/view.glsl"
uniform sampler2D radianceMap;  // of the picture
uniform sampler2D distanceMap;
uniform sampler2D albedoMap;
uniform sampler2D normalMap;
uniform sampler2D hazeDistance; // of what was drawn aside
uniform sampler2D hazeMap;      // its albedo
uniform sampler2D mirrorMap;    // its normal
uniform vec4 aside;             // where in the pixel, from its middle; z: share
layout(location = 0) out vec4 radiance;

// How little a pixel's surface, gone on as a plane, has to do with what lies at ray, t away.
float apart(ivec2 at, vec3 ray, float t, vec3 n, vec3 surface) {
  float there = texelFetch(distanceMap, at, 0).r;
  if (there >= nothing || t >= nothing) return there >= nothing && t >= nothing ? 0.0 : 1e3;
  vec3 normal = texelFetch(normalMap, at, 0).xyz;
  float slope = dot(normal, ray);
  float gone = abs(slope) > 1e-3 ? there * dot(normal, rayAt(vec2(at) + 0.5)) / slope : there;
  return 50.0 * abs(gone - t) / t + 2.0 * (1.0 - dot(normal, n)) + 10.0 * distance(texelFetch(albedoMap, at, 0).rgb, surface);
}

void main() {
  ivec2 at = ivec2(gl_FragCoord.xy), last = ivec2(size) - 1;
  float t = texelFetch(hazeDistance, at, 0).r;
  vec3 n = texelFetch(mirrorMap, at, 0).xyz, surface = texelFetch(hazeMap, at, 0).rgb, ray = rayAt(gl_FragCoord.xy + aside.xy);
  ivec2 best = at;
  float least = apart(at, ray, t, n, surface);
  if (least > 0.2) {
    for (int i = 0; i < 9; i++) {
      ivec2 by = ivec2(i % 3, i / 3) - 1;
      vec2 away = vec2(by) - aside.xy;
      float here = apart(clamp(at + by, ivec2(0), last), ray, t, n, surface) + 0.02 * dot(away, away);
      if (here < least) { least = here; best = clamp(at + by, ivec2(0), last); }
    }
  }
  radiance = aside.z * texelFetch(radianceMap, best, 0);
}
