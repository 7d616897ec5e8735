// Beams' light on surfaces, drawn at a fraction of the resolution, added to the radiance at the eye.
#include "include/view.glsl"
#define SEEN_THROUGH_HAZE
#include "include/areaup.glsl"
layout(location = 0) out vec4 radiance;

void main() {
  vec3 light;
  if (!areaLightAt(ivec2(gl_FragCoord.xy), light)) discard;
  radiance = vec4(light, 0.0);
}
