// Light that the haze inside one beam scatters to the eye, along the pixel's ray.
#include "include/view.glsl"
#include "include/hazelight.glsl"
uniform sampler2D distanceMap;
layout(location = 0) out vec4 radiance;

void main() {
  // At a fraction of the resolution a fragment stands for the middle pixel of its block.
  ivec2 at = min(ivec2(gl_FragCoord.xy) * HAZE_SCALE + HAZE_SCALE / 2, ivec2(size) - 1);
  vec3 light;
  if (!hazeAlong(rayAt(vec2(at) + 0.5), texelFetch(distanceMap, at, 0).r, light)) discard;
  radiance = vec4(light, 0.0);
}
