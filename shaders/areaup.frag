// Light of pixel surfaces on other surfaces, added to the radiance at the eye.
#include "include/view.glsl"
#include "include/areaup.glsl"
layout(location = 0) out vec4 radiance;

void main() {
  vec3 light;
  if (!areaLightAt(ivec2(gl_FragCoord.xy), light)) discard;
  radiance = vec4(light, 0.0);
}
